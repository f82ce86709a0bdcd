package stock_test

import (
	"net/http"
	"net/url"
	"testing"

	"commensal/api/apitest"
	"commensal/api/gen"
)

// What is suggested for a name is what a search for it finds first, wherever it is asked.
func TestSuggestionsAreThoseOfTheSearch(t *testing.T) {
	s := newShop(t)
	s.report(s.csv("article,name\nA,neon tetra\n"))
	for _, name := range []string{"Fancy swordtale", "neon tetr", "oscarr", "mosow gupy", "zebrra danio", "glowing zzz snail", "corydorras panda 3 cm"} {
		found := apitest.Body[gen.SpeciesPage](t, s.Get("/v1/species?limit=50&q="+url.QueryEscape(name)), http.StatusOK).Species
		if len(found) == 0 {
			t.Errorf("%q: a search finds nothing", name)
			continue
		}
		line := `{"species":"` + name + `"}`
		suggested := map[string][]gen.SpeciesRef{}
		for where, a := range map[string]apitest.Answer{
			"a check":   s.Post("/v1/checks", `{"residents":[`+line+`]}`),
			"additions": s.Post("/v1/additions", `{"residents":[`+line+`]}`),
			"a lookup":  s.Get("/v1/species/" + url.PathEscape(name)),
		} {
			if a.Code == http.StatusOK {
				t.Errorf("%q is known in %s: %s", name, where, apitest.Clipped(a.Body.String()))
				continue
			}
			if c := (*apitest.ProblemIn(t, a).Errors)[0].Candidates; c != nil {
				suggested[where] = *c
			}
		}
		report := s.report(s.csv("article,name\nA,"+name+"\n", "?missing=remove"))
		if len(report.Told) == 1 {
			suggested["the report on a stock"] = report.Told[0].Candidates
		}
		if len(suggested) != 4 {
			t.Errorf("%q: suggestions only in %d places", name, len(suggested))
		}
		for where, list := range suggested {
			if len(list) == 0 || len(list) > len(found) {
				t.Errorf("%q: %d suggestions in %s, %d by the search", name, len(list), where, len(found))
				continue
			}
			for i := range list {
				if list[i].Id != found[i].Id {
					t.Errorf("%q: suggestion %d in %s is %s, of the search %s", name, i, where, list[i].Id, found[i].Id)
				}
			}
		}
	}
}
