package conflict

import (
	"strings"
	"testing"
	"unicode/utf8"

	"commensal/internal/species"

	"pgregory.net/rapid"
)

func TestEverySentenceIsCompleteAndEverySummaryShort(t *testing.T) {
	m := testModel(t)
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawSpecies(t, "a"), drawSpecies(t, "b")
		a.Names[0].Text = strings.Repeat("Very long trade name ", rapid.IntRange(1, 8).Draw(t, "long"))
		if rapid.IntRange(0, 4).Draw(t, "own kind") == 0 {
			b = a
		}
		p := m.Explain(m.Profile(a, Individual{}), m.Profile(b, Individual{}), drawTank(t))
		for _, us := range []bool{false, true} {
			w := English(us)
			said := []string{w.Summary(&p)}
			for _, f := range p.Factors {
				said = append(said, w.Sentence(f.Statement))
			}
			for _, r := range p.Remedies {
				said = append(said, w.Sentence(r.Statement))
			}
			for _, s := range said {
				if s == "" || strings.ContainsAny(s, "{}") {
					t.Fatalf("incomplete sentence %q", s)
				}
			}
			if n := utf8.RuneCountInString(said[0]); n > SummaryLimit {
				t.Fatalf("summary of %d characters: %q", n, said[0])
			}
		}
	})
}

func TestSentencesCarryTheNumbersThatDecide(t *testing.T) {
	oscar := &species.Species{ID: "a", ScientificName: "A a", Names: []species.Name{{Language: "en", Text: "Oscar"}}}
	neon := &species.Species{ID: "b", ScientificName: "B b", Names: []species.Name{{Language: "en", Text: "Neon tetra"}}}
	s := Statement{Code: SizeSwallows, Actor: oscar, Other: neon, Evidence: []Evidence{
		{"predator_length", 32, "cm"}, {"prey_length", 3.5, "cm"}, {"prey_limit", 12.8, "cm"}}}
	for _, c := range []struct {
		us   bool
		want string
	}{
		{false, "Oscars of 32 cm swallow fish up to about 13 cm; neon tetras of 3.5 cm are small enough to swallow."},
		{true, "Oscars of 32 cm (13 in) swallow fish up to about 13 cm (5 in); neon tetras of 3.5 cm (1.4 in) are small enough to swallow."},
	} {
		if got := English(c.us).Sentence(s); got != c.want {
			t.Errorf("got  %q\nwant %q", got, c.want)
		}
	}
}

func TestEveryCodeHasASentenceAndEverySentenceACode(t *testing.T) {
	for code, text := range english.sentences {
		if text == "" || !strings.Contains(string(code), ".") {
			t.Errorf("code %q has sentence %q", code, text)
		}
	}
	for l := Low; l <= Severe; l++ {
		if got, ok := ParseLevel(l.String()); !ok || got != l {
			t.Errorf("level %v does not read back", l)
		}
	}
	if _, ok := ParseLevel("Low"); ok {
		t.Error("levels are lower case")
	}
}
