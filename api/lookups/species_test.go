package lookups_test

import (
	"encoding/json"
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"

	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/internal/species"
)

func speciesPageOf(t testing.TB, a apitest.Answer) gen.SpeciesPage {
	t.Helper()
	var p gen.SpeciesPage
	if err := json.Unmarshal(a.Body.Bytes(), &p); err != nil || a.Code != 200 {
		t.Fatalf("%s: %d %v %s", a.Request.URL, a.Code, err, a.Body)
	}
	return p
}

func rankedPageOf(t testing.TB, a apitest.Answer) gen.SpeciesPairingsPage {
	t.Helper()
	var p gen.SpeciesPairingsPage
	if err := json.Unmarshal(a.Body.Bytes(), &p); err != nil || a.Code != 200 {
		t.Fatalf("%s: %d %v %s", a.Request.URL, a.Code, err, a.Body)
	}
	return p
}

func ids(p gen.SpeciesPage) (out []string) {
	for _, s := range p.Species {
		out = append(out, s.Id)
	}
	return out
}

func TestSpeciesAreFoundAndFiltered(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	for _, c := range []struct {
		name, query string
		want        []string // in order
	}{
		{"everything is in order of id", "", []string{"amatitlania-nigrofasciata", "astronotus-ocellatus", "betta-splendens", "danio-rerio",
			"paracheirodon-axelrodi", "paracheirodon-innesi", "poecilia-reticulata", "pterophyllum-scalare", "puntigrus-tetrazona", "symphysodon-aequifasciatus"}},
		{"a typing slip is forgiven", "q=oscr", []string{"astronotus-ocellatus"}},
		{"a family in any case", "family=characidae&q=neon+tetra", nil},
		{"a family", "family=CICHLIDAE", []string{"amatitlania-nigrofasciata", "astronotus-ocellatus", "pterophyllum-scalare", "symphysodon-aequifasciatus"}},
		{"a family that is not there", "family=Salmonidae", nil},
		{"a search and a filter", "q=cichlid&max_length_cm=10in", []string{"pterophyllum-scalare", "symphysodon-aequifasciatus", "amatitlania-nigrofasciata"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			w.T = t
			if got := ids(speciesPageOf(t, w.Get("/v1/species?"+c.query))); c.want != nil && !slices.Equal(got, c.want) || c.want == nil && c.query == "family=Salmonidae" && len(got) > 0 {
				t.Errorf("got %q, want %q", got, c.want)
			}
		})
	}
}

// TestFiltersHoldForEveryEntry compares each filter with the traits themselves.
func TestFiltersHoldForEveryEntry(t *testing.T) {
	book := fixture.Full(t)
	w := apitest.Ask(t, apitest.ServerOf(t, book))
	for query, holds := range map[string]func(*species.Species, gen.SpeciesSummary) bool{
		"zone=bottom":            func(_ *species.Species, s gen.SpeciesSummary) bool { return *s.Zone == gen.Bottom },
		"temperament=relentless": func(_ *species.Species, s gen.SpeciesSummary) bool { return *s.Temperament == gen.Relentless },
		"temperature_c=64F": func(sp *species.Species, _ gen.SpeciesSummary) bool {
			return sp.Water[species.Temperature].Tolerated.Contains(17.78)
		},
		"ph=8.5": func(sp *species.Species, _ gen.SpeciesSummary) bool {
			return sp.Water[species.PH].Tolerated.Contains(8.5)
		},
		"max_length_cm=2in": func(sp *species.Species, s gen.SpeciesSummary) bool { return *s.LengthCm <= 5.08 },
	} {
		kept := 0
		for target := "/v1/species?limit=200&" + query; target != ""; {
			a := w.Get(target)
			p := speciesPageOf(t, a)
			for _, s := range p.Species {
				sp, _ := book.Snapshot.ByID(species.ID(s.Id))
				if kept++; !holds(sp, s) {
					t.Errorf("%s lists %s", query, s.Id)
				}
			}
			target = nextOf(a)
		}
		if kept == 0 || kept == book.Snapshot.Len() {
			t.Errorf("%s keeps %d of %d", query, kept, book.Snapshot.Len())
		}
	}
}

// nextOf is the target in the Link header, or "".
func nextOf(a apitest.Answer) string {
	link := a.Header().Get("Link")
	target, _, ok := strings.Cut(strings.TrimPrefix(link, "<"), `>; rel="next"`)
	if !ok {
		return ""
	}
	return target
}

func TestPagesJoinToTheWholeList(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Full(t)))
	for _, path := range []string{"/v1/species", "/v1/species?q=cichlid", "/v1/species/oscar/pairings", "/v1/species/oscar/pairings?order=highest&level=high"} {
		whole, parts := walk(t, w, path, "200"), walk(t, w, path, "7")
		if len(whole) == 0 || !slices.Equal(whole, parts) {
			t.Errorf("%s: %d entries whole, %d in parts", path, len(whole), len(parts))
		}
	}
}

// walk follows a list to its end, by the Link header, and checks that next agrees.
func walk(t testing.TB, w *apitest.Witness, path, limit string) (out []string) {
	t.Helper()
	separator := "?"
	if strings.Contains(path, "?") {
		separator = "&"
	}
	for target := path + separator + "limit=" + limit; target != ""; {
		a := w.Get(target)
		var p struct {
			Species  json.RawMessage
			Pairings []struct{ Species struct{ Id string } }
			Next     string
		}
		if err := json.Unmarshal(a.Body.Bytes(), &p); err != nil {
			t.Fatal(err)
		}
		for _, r := range p.Pairings {
			out = append(out, r.Species.Id)
		}
		if p.Pairings == nil {
			out = append(out, ids(speciesPageOf(t, a))...)
		}
		target = nextOf(a)
		u, err := url.Parse(target)
		if err != nil || u.Query().Get("cursor") != p.Next {
			t.Fatalf("Link %q and next %q differ", target, p.Next)
		}
	}
	return out
}

func TestRankedPairingsAreInOrderAndAgreeWithThePairings(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	p := rankedPageOf(t, w.Get("/v1/species/Oscar/pairings"))
	if len(p.Pairings) != 10 || p.Species.Id != "astronotus-ocellatus" {
		t.Fatalf("%d pairings of %s", len(p.Pairings), p.Species.Id)
	}
	for i, r := range p.Pairings {
		if i > 0 && r.Score < p.Pairings[i-1].Score {
			t.Errorf("%s is out of order", r.Species.Id)
		}
		one := apitest.PairingOf(t, w.Get("/v1/pairings/astronotus-ocellatus/"+r.Species.Id))
		if one.Score != r.Score || one.Level != r.Level || one.Summary != r.Summary || one.MainReason != r.MainReason {
			t.Errorf("%s: ranked %+v, alone %v %s", r.Species.Id, r, one.Score, one.Summary)
		}
	}
	highest := rankedPageOf(t, w.Get("/v1/species/oscar/pairings?order=highest"))
	if highest.Pairings[0].Species.Id == p.Pairings[0].Species.Id {
		t.Error("order=highest begins with the lowest")
	}
	for _, r := range rankedPageOf(t, w.Get("/v1/species/oscar/pairings?level=severe")).Pairings {
		if r.Level != gen.Severe {
			t.Errorf("level=severe lists %s, %s", r.Species.Id, r.Level)
		}
	}
}

func TestCursorsOfOtherListsAreRefused(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Full(t)))
	cursor := *speciesPageOf(t, w.Get("/v1/species?limit=5")).Next
	if a := w.Get("/v1/species?limit=9&cursor=" + cursor); a.Code != 200 {
		t.Errorf("another limit: %d %s", a.Code, a.Body)
	}
	for name, target := range map[string]string{
		"another filter": "/v1/species?zone=bottom&cursor=" + cursor,
		"another path":   "/v1/species/oscar/pairings?cursor=" + cursor,
		"cut short":      "/v1/species?cursor=" + cursor[:len(cursor)-1],
		"lengthened":     "/v1/species?cursor=" + cursor + "A",
	} {
		a := w.Get(target)
		if p := apitest.ProblemIn(t, a); a.Code != http.StatusBadRequest || p.Type != "/problems/invalid-cursor" {
			t.Errorf("%s: %d %s", name, a.Code, a.Body)
		}
	}
	older := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	if a := older.Get("/v1/species?cursor=" + cursor); a.Code != http.StatusBadRequest {
		t.Errorf("another revision: %d", a.Code)
	}
}

func TestSpeciesTellsEverything(t *testing.T) {
	book := fixture.Full(t)
	w := apitest.Ask(t, apitest.ServerOf(t, book))
	for i := range book.Snapshot.Len() {
		sp := book.Snapshot.At(i)
		a := w.Get("/v1/species/" + string(sp.ID))
		var got gen.Species
		if err := json.Unmarshal(a.Body.Bytes(), &got); err != nil || a.Code != 200 {
			t.Fatalf("%s: %d %v", sp.ID, a.Code, err)
		}
		if got.Id != string(sp.ID) || got.Family != sp.Family || len(got.Cautions) != len(sp.Cautions) {
			t.Errorf("%s: %+v", sp.ID, got)
		}
		known := 0
		for _, set := range []species.TraitSet{sp.Traits, sp.MaleTraits, sp.FemaleTraits} {
			for _, v := range set {
				if v.Known() {
					known++
				}
			}
		}
		if len(got.Traits) != known || got.Traits[0].Trait != "length" || got.Traits[0].Sex != nil {
			t.Errorf("%s: %d traits, want %d", sp.ID, len(got.Traits), known)
		}
		if !slices.IsSortedFunc(got.Traits, func(a, b gen.TraitValue) int { return sexOrder(a.Sex) - sexOrder(b.Sex) }) {
			t.Errorf("%s: the sexes are not behind the species", sp.ID)
		}
	}
}

func sexOrder(s *gen.Sex) int {
	if s == nil {
		return 0
	}
	return map[gen.Sex]int{gen.Male: 1, gen.Female: 2}[*s]
}

// TestAgreementStandsBesideTheBasis holds what the API says of sources that agree against the marks of the whole catalogue.
func TestAgreementStandsBesideTheBasis(t *testing.T) {
	book := fixture.Full(t)
	w := apitest.Ask(t, apitest.ServerOf(t, book))
	told := 0
	for i := range book.Snapshot.Len() {
		sp := book.Snapshot.At(i)
		if len(sp.Checked) == 0 && i%20 != 0 || len(sp.Checked) > 0 && i%8 != 0 {
			continue // a share of both sorts is enough
		}
		a := w.Get("/v1/species/" + string(sp.ID))
		got := apitest.Body[gen.Species](t, a, http.StatusOK)
		sources := map[string]bool{}
		for _, s := range got.Sources {
			sources[s.Key] = s.Citation != ""
		}
		look := func(field string, keys *gen.AgreesWith) {
			var list []string
			if keys != nil {
				list = *keys
			}
			if want := sp.AgreesWith(field); !slices.Equal(list, want) {
				t.Errorf("%s, %s: %q agree, want %q", sp.ID, field, list, want)
			}
			for _, k := range list {
				told++
				if !sources[k] {
					t.Errorf("%s, %s: %s has no citation among the sources", sp.ID, field, k)
				}
			}
		}
		for _, v := range got.Traits {
			if v.Sex == nil {
				look(v.Trait, v.AgreesWith)
			} else if v.AgreesWith != nil {
				t.Errorf("%s: a value of one sex agrees with %q", sp.ID, *v.AgreesWith)
			}
		}
		for k, v := range got.Water {
			look("water "+[]string{"temperature", "ph", "gh", "salinity"}[slices.Index([]gen.WaterParameter{gen.TemperatureC, gen.Ph, gen.GhDh, gen.SalinityPpt}, got.Water[k].Parameter)], v.AgreesWith)
		}
	}
	if told < 50 {
		t.Errorf("only %d values agree with a source", told)
	}
}
