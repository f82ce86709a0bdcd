package tanks_test

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"commensal/api/apitest"
	"commensal/api/gen"
	"commensal/api/respond"
)

func TestALineKeepsTheSpeciesThatItsNameMeant(t *testing.T) {
	k := apitest.NewTankOwner(t)
	tank := k.Tank(`{"tank":{}}`)
	a := k.Post(tank+"/residents", `{"species":"Óscar","count":1,"length_cm":"4in","sex":"male"}`, k.Key...)
	made := apitest.Body[gen.Resident](t, a, http.StatusCreated)
	path := a.Header().Get("Location")
	if path != tank+"/residents/"+made.Id || made.Line.Species != "astronotus-ocellatus" || string(*made.Line.LengthCm) != `"4in"` {
		t.Errorf("%s at %s", a.Body, path)
	}
	read := k.Get(path, k.Key...)
	if read.Body.String() != a.Body.String() {
		t.Errorf("made %s\nread %s", a.Body, read.Body)
	}
	if again := k.Get(path, apitest.With(k.Key, []string{"If-None-Match", read.Header().Get("ETag")})...); again.Code != http.StatusNotModified {
		t.Errorf("%d", again.Code)
	}
	changed := apitest.Body[gen.Resident](t, k.Change(http.MethodPatch, path, `{"sex":null,"count":2}`, "*"), http.StatusOK)
	if changed.Line.Sex != nil || *changed.Line.Count != 2 || changed.Line.Species != "astronotus-ocellatus" {
		t.Errorf("%+v", changed.Line)
	}
	for name, c := range map[string]struct {
		method, body string
		slug         respond.Slug
		pointer      string
	}{
		"an axolotl":              {http.MethodPut, `{"species":"axolotl"}`, respond.NotAFish, "/species"},
		"an unknown species":      {http.MethodPut, `{"species":"nothing like it"}`, respond.UnknownSpecies, "/species"},
		"a fish of 9 m":           {http.MethodPut, `{"species":"oscar","length_cm":900}`, respond.ImpossibleValue, "/length_cm"},
		"none of them":            {http.MethodPatch, `{"count":0}`, respond.ImpossibleValue, "/count"},
		"an ambiguous species":    {http.MethodPatch, `{"species":"tetra"}`, respond.AmbiguousSpecies, "/species"},
		"a thousand and one fish": {http.MethodPatch, `{"count":1001}`, respond.ImpossibleValue, "/count"},
	} {
		a := k.Change(c.method, path, c.body, "*")
		apitest.WantProblem(t, name, a, http.StatusUnprocessableEntity, c.slug)
		if p := apitest.ProblemIn(t, a); (*p.Errors)[0].Pointer != c.pointer {
			t.Errorf("%s: want an error at %s: %s", name, c.pointer, a.Body)
		}
	}
	other := k.Tank(`{"tank":{}}`)
	elsewhere := other + "/residents/" + made.Id
	apitest.WantProblem(t, "the line in another tank", k.Get(elsewhere, k.Key...), http.StatusNotFound, respond.NotFound)
	apitest.WantProblem(t, "the line in another tank", k.Change(http.MethodDelete, elsewhere, "", "*"), http.StatusNotFound, respond.NotFound)
}

func TestAStatedAgeGrows(t *testing.T) {
	k := apitest.NewTankOwner(t)
	tank := k.Tank(`{"tank":{"size":"100x40x40cm"},"residents":[{"species":"guppy","count":3,"age_months":2}]}`)
	line := tank + "/residents/" + apitest.Body[gen.ResidentsPage](t, k.Get(tank+"/residents", k.Key...), http.StatusOK).Residents[0].Id
	age := func() float64 {
		t.Helper()
		return *apitest.Body[gen.Check](t, k.Get(tank+"/check", k.Key...), http.StatusOK).Lines[0].AgeMonths
	}
	if got := age(); got < 2 || got > 2.01 {
		t.Errorf("on the first day it is %g months old", got)
	}
	k.Clock.Turn(73 * 24 * time.Hour) // 2.4 months, a fifth of a year
	if got := age(); got < 4.39 || got > 4.41 {
		t.Errorf("after 73 days it is %g months old", got)
	}
	k.Change(http.MethodPatch, line, `{"count":2}`, "*")
	if got := age(); got < 4.39 {
		t.Errorf("one fish fewer made the others %g months old", got)
	}
	a := k.Change(http.MethodPatch, line, `{"age_months":6}`, "*")
	if stated := apitest.Body[gen.Resident](t, a, http.StatusOK); !stated.StatedAt.Equal(stated.UpdatedAt) {
		t.Errorf("a new age is of %v, changed %v", stated.StatedAt, stated.UpdatedAt)
	}
	wild := k.Tank(`{"tank":{},"residents":[{"species":"guppy","age_months":1440}]}`)
	if a := k.Get(wild+"/check", k.Key...); a.Code != http.StatusOK {
		t.Errorf("a very old fish: %d %s", a.Code, a.Body)
	}
}

func TestAStoredTankIsJudgedAsAListIs(t *testing.T) {
	k := apitest.NewTankOwner(t)
	const tankJSON, line = `{"size":"120x50x50cm","temperature_c":25,"lid":true}`, `{"species":"paracheirodon-innesi","count":12}`
	tank := k.Tank(`{"tank":` + tankJSON + `,"residents":[` + line + `]}`)
	joining := `"incoming":[{"species":"oscar"}],"keep":["neon tetra"],"wanted_level":"low"`
	for name, c := range map[string]struct{ stored, stateless apitest.Answer }{
		"as it is": {k.Get(tank+"/check", k.Key...), k.Post("/v1/checks", `{"tank":`+tankJSON+`,"residents":[`+line+`]}`)},
		"in US units": {k.Get(tank+"/check?units=us&wanted_level=low", k.Key...),
			k.Post("/v1/checks?units=us", `{"tank":`+tankJSON+`,"residents":[`+line+`],"wanted_level":"low"}`)},
		"with what joins": {k.Post(tank+"/check", `{`+joining+`}`, k.Key...), k.Post("/v1/checks", `{"tank":`+tankJSON+`,"residents":[`+line+`],`+joining+`}`)},
		"what could join": {k.Get(tank+"/additions?limit=5&zone=middle&max_length_cm=3in", k.Key...),
			k.Post("/v1/additions", `{"tank":`+tankJSON+`,"residents":[`+line+`],"limit":5,"filters":{"zone":"middle","max_length_cm":"3in"}}`)},
		"in whose place": {k.Get(tank+"/additions?instead_of=neon-tetra&units=us&family=characidae&wanted_level=high", k.Key...),
			k.Post("/v1/additions?units=us", `{"tank":`+tankJSON+`,"residents":[`+line+`],"instead_of":"neon tetra","filters":{"family":"characidae"},"wanted_level":"high"}`)},
	} {
		if c.stored.Code != http.StatusOK || c.stored.Body.String() != c.stateless.Body.String() {
			t.Errorf("%s:\nstored    %d %s\nstateless %d %s", name, c.stored.Code, apitest.Clipped(c.stored.Body.String()), c.stateless.Code, apitest.Clipped(c.stateless.Body.String()))
		}
	}
}

func TestChecksOfAStoredTankThatCannotBe(t *testing.T) {
	k := apitest.NewTankOwner(t)
	empty := k.Tank(`{"tank":{}}`)
	full := k.Tank(`{"tank":{},"residents":[{"species":"guppy"}]}`)
	apitest.WantProblem(t, "nobody lives there", k.Get(empty+"/check", k.Key...), http.StatusUnprocessableEntity, respond.ImpossibleValue)
	if a := k.Get(empty+"/additions", k.Key...); a.Code != http.StatusOK {
		t.Errorf("what could join an empty tank: %d %s", a.Code, a.Body)
	}
	apitest.WantProblem(t, "an unknown newcomer", k.Post(full+"/check", `{"incoming":[{"species":"gupy"}]}`, k.Key...), http.StatusUnprocessableEntity, respond.UnknownSpecies)
	apitest.WantProblem(t, "an unknown species", k.Get(full+"/additions?instead_of=gupy", k.Key...), http.StatusUnprocessableEntity, respond.UnknownSpecies)
	apitest.WantProblem(t, "an impossible length", k.Get(full+"/additions?max_length_cm=9999", k.Key...), http.StatusUnprocessableEntity, respond.ImpossibleValue)
	apitest.WantProblem(t, "no length", k.Get(full+"/additions?max_length_cm=long", k.Key...), http.StatusBadRequest, respond.MalformedParameter)
	if a := k.Get(full+"/additions?instead_of=gupy", k.Key...); !strings.Contains(a.Body.String(), "/query/instead_of") {
		t.Errorf("where: %s", a.Body)
	}
}
