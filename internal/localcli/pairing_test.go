package localcli

import (
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"commensal/api"
	"commensal/api/gen"
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/species/catalogue/builtin"
	"commensal/internal/terminal"
)

// builtIn is the API over the built-in catalogue.
func builtIn(t *testing.T) (http.Handler, *conflict.Book) {
	t.Helper()
	c, err := builtin.Catalogue()
	if err != nil {
		t.Fatal(err)
	}
	snapshot, err := species.NewSnapshot(BuiltInRevision, c)
	if err != nil {
		t.Fatal(err)
	}
	model, err := conflict.Default()
	if err != nil {
		t.Fatal(err)
	}
	book := conflict.NewBook(model, snapshot)
	server, err := api.New(api.Config{Book: func() *conflict.Book { return book }, RateLimit: api.RateLimit{Quota: 1 << 30}, CacheBytes: -1})
	if err != nil {
		t.Fatal(err)
	}
	return server.Handler(), book
}

// The answers of one in a hundred of all pairs, which is every kind of sentence there is.
func TestAnAnswerFitsEightyColumnsAndSaysEverything(t *testing.T) {
	t.Parallel()
	server, book := builtIn(t)
	s := book.Snapshot
	for k := 0; k < s.Len()*s.Len(); k += 97 {
		first, second := s.At(k/s.Len()), s.At(k%s.Len())
		query := url.Values{}
		if k%2 == 1 {
			query = url.Values{"units": {"us"}, "tank": {"48x24x24in"}, "temperature_c": {"78F"}}
		}
		body, problem, err := Question(server, http.MethodGet, "/v1/pairings/"+string(first.ID)+"/"+string(second.ID)+"?"+query.Encode(), nil)
		if err != nil || problem != nil {
			t.Fatalf("%s with %s: %v %v", first.ID, second.ID, err, problem)
		}
		var p gen.Pairing
		if err := Decode(body, &p); err != nil {
			t.Fatal(err)
		}
		var text strings.Builder
		if err := (Layout{US: k%2 == 1, Program: "test"}).WritePairing(&text, &p); err != nil {
			t.Fatal(err)
		}
		holdPage(t, &p, text.String())
	}
}

// holdPage holds the text of an answer against the answer.
func holdPage(t *testing.T, p *gen.Pairing, text string) {
	t.Helper()
	name := p.Species[0].Id + " with " + p.Species[1].Id
	for line := range strings.Lines(text) {
		if line = strings.TrimSuffix(line, "\n"); runes(line) > terminal.Customary || strings.TrimRight(line, " ") != line {
			t.Errorf("%s: the line %q is too long or ends in spaces", name, line)
		}
	}
	flat := strings.Join(strings.Fields(text), " ")
	want := []string{p.Summary, p.Species[0].ScientificName, p.Species[1].ScientificName, p.Conditions.Summary, p.ModelVersion,
		fmt.Sprintf("%.1f of 100: %s, %s", p.Score, p.Level, levelMeaning[p.Level])}
	for _, f := range p.Factors {
		want = append(want, fmt.Sprintf("%.1f %s %s", f.Share, spaced(string(f.Factor)), f.Summary))
	}
	for _, r := range p.Remedies {
		want = append(want, r.Summary)
	}
	for _, c := range p.Cautions {
		want = append(want, c.Text)
	}
	for _, m := range p.MissingTraits {
		want = append(want, m.Species+": "+spaced(m.Trait))
	}
	for _, part := range want {
		if !strings.Contains(flat, strings.Join(strings.Fields(part), " ")) {
			t.Errorf("%s: the text lacks %q:\n%s", name, part, text)
		}
	}
	if !strings.HasPrefix(flat, p.Summary) {
		t.Errorf("%s: the summary does not come first", name)
	}
}

func TestEveryLevelHasItsMeaning(t *testing.T) {
	t.Parallel()
	for _, l := range []gen.Level{gen.Low, gen.Moderate, gen.High, gen.Severe} {
		if levelMeaning[l] == "" {
			t.Errorf("%s has none", l)
		}
	}
}

func TestAnAnswerTellsWhatKeepersReport(t *testing.T) {
	t.Parallel()
	var p gen.Pairing
	server, _ := builtIn(t)
	body, problem, err := Question(server, http.MethodGet, "/v1/pairings/oscar/guppy", nil)
	if err != nil || problem != nil {
		t.Fatal(err, problem)
	}
	if err := Decode(body, &p); err != nil {
		t.Fatal(err)
	}
	write := func() string {
		var text strings.Builder
		if err := (Layout{}).WritePairing(&text, &p); err != nil {
			t.Fatal(err)
		}
		return text.String()
	}
	if strings.Contains(write(), "What keepers report") {
		t.Errorf("there are no reports offline:\n%s", write())
	}
	p.Reports = &gen.Reports{Count: 2, Summary: "2 reports from keepers: one thing and the other, at such a length that one line does not hold it."}
	if got := write(); !strings.Contains(got, "What keepers report, beside the score\n  - 2 reports from keepers: one thing and the other, at such a length that one\n    line") {
		t.Errorf("%s", got)
	}
}
