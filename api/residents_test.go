package api

import (
	"net/http"
	"strings"
	"testing"
	"time"

	"commensal/api/gen"
)

func TestALineKeepsTheSpeciesThatItsNameMeant(t *testing.T) {
	k := newKeeper(t)
	tank := k.tank(`{"tank":{}}`)
	a := k.post(tank+"/residents", `{"species":"Óscar","count":1,"length_cm":"4in","sex":"male"}`, k.key...)
	made := body[gen.Resident](t, a, http.StatusCreated)
	path := a.Header().Get("Location")
	if path != tank+"/residents/"+made.Id || made.Line.Species != "astronotus-ocellatus" || string(*made.Line.LengthCm) != `"4in"` {
		t.Errorf("%s at %s", a.Body, path)
	}
	read := k.get(path, k.key...)
	if read.Body.String() != a.Body.String() {
		t.Errorf("made %s\nread %s", a.Body, read.Body)
	}
	if again := k.get(path, with(k.key, []string{"If-None-Match", read.Header().Get("ETag")})...); again.Code != http.StatusNotModified {
		t.Errorf("%d", again.Code)
	}
	changed := body[gen.Resident](t, k.change(http.MethodPatch, path, `{"sex":null,"count":2}`, "*"), http.StatusOK)
	if changed.Line.Sex != nil || *changed.Line.Count != 2 || changed.Line.Species != "astronotus-ocellatus" {
		t.Errorf("%+v", changed.Line)
	}
	for name, c := range map[string]struct {
		method, body string
		slug         slug
		pointer      string
	}{
		"an unknown species":      {http.MethodPut, `{"species":"nothing like it"}`, unknownSpecies, "/species"},
		"a fish of 9 m":           {http.MethodPut, `{"species":"oscar","length_cm":900}`, impossibleValue, "/length_cm"},
		"none of them":            {http.MethodPatch, `{"count":0}`, impossibleValue, "/count"},
		"an ambiguous species":    {http.MethodPatch, `{"species":"tetra"}`, ambiguousSpecies, "/species"},
		"a thousand and one fish": {http.MethodPatch, `{"count":1001}`, impossibleValue, "/count"},
	} {
		a := k.change(c.method, path, c.body, "*")
		wantProblem(t, name, a, http.StatusUnprocessableEntity, c.slug)
		if p := problemIn(t, a); (*p.Errors)[0].Pointer != c.pointer {
			t.Errorf("%s: want an error at %s: %s", name, c.pointer, a.Body)
		}
	}
	other := k.tank(`{"tank":{}}`)
	elsewhere := other + "/residents/" + made.Id
	wantProblem(t, "the line in another tank", k.get(elsewhere, k.key...), http.StatusNotFound, notFound)
	wantProblem(t, "the line in another tank", k.change(http.MethodDelete, elsewhere, "", "*"), http.StatusNotFound, notFound)
}

func TestAStatedAgeGrows(t *testing.T) {
	k := newKeeper(t)
	tank := k.tank(`{"tank":{"size":"100x40x40cm"},"residents":[{"species":"guppy","count":3,"age_months":2}]}`)
	line := tank + "/residents/" + body[gen.ResidentsPage](t, k.get(tank+"/residents", k.key...), http.StatusOK).Residents[0].Id
	age := func() float64 {
		t.Helper()
		return *body[gen.Check](t, k.get(tank+"/check", k.key...), http.StatusOK).Lines[0].AgeMonths
	}
	if got := age(); got < 2 || got > 2.01 {
		t.Errorf("on the first day it is %g months old", got)
	}
	k.clock.turn(73 * 24 * time.Hour) // 2.4 months, a fifth of a year
	if got := age(); got < 4.39 || got > 4.41 {
		t.Errorf("after 73 days it is %g months old", got)
	}
	k.change(http.MethodPatch, line, `{"count":2}`, "*")
	if got := age(); got < 4.39 {
		t.Errorf("one fish fewer made the others %g months old", got)
	}
	a := k.change(http.MethodPatch, line, `{"age_months":6}`, "*")
	if stated := body[gen.Resident](t, a, http.StatusOK); !stated.StatedAt.Equal(stated.UpdatedAt) {
		t.Errorf("a new age is of %v, changed %v", stated.StatedAt, stated.UpdatedAt)
	}
	wild := k.tank(`{"tank":{},"residents":[{"species":"guppy","age_months":1440}]}`)
	if a := k.get(wild+"/check", k.key...); a.Code != http.StatusOK {
		t.Errorf("a very old fish: %d %s", a.Code, a.Body)
	}
}

func TestAStoredTankIsJudgedAsAListIs(t *testing.T) {
	k := newKeeper(t)
	const tankJSON, line = `{"size":"120x50x50cm","temperature_c":25,"lid":true}`, `{"species":"paracheirodon-innesi","count":12}`
	tank := k.tank(`{"tank":` + tankJSON + `,"residents":[` + line + `]}`)
	joining := `"incoming":[{"species":"oscar"}],"keep":["neon tetra"],"wanted_level":"low"`
	for name, c := range map[string]struct{ stored, stateless answer }{
		"as it is": {k.get(tank+"/check", k.key...), k.post("/v1/checks", `{"tank":`+tankJSON+`,"residents":[`+line+`]}`)},
		"in US units": {k.get(tank+"/check?units=us&wanted_level=low", k.key...),
			k.post("/v1/checks?units=us", `{"tank":`+tankJSON+`,"residents":[`+line+`],"wanted_level":"low"}`)},
		"with what joins": {k.post(tank+"/check", `{`+joining+`}`, k.key...), k.post("/v1/checks", `{"tank":`+tankJSON+`,"residents":[`+line+`],`+joining+`}`)},
		"what could join": {k.get(tank+"/additions?limit=5&zone=middle&max_length_cm=3in", k.key...),
			k.post("/v1/additions", `{"tank":`+tankJSON+`,"residents":[`+line+`],"limit":5,"filters":{"zone":"middle","max_length_cm":"3in"}}`)},
		"in whose place": {k.get(tank+"/additions?instead_of=neon-tetra&units=us&family=characidae&wanted_level=high", k.key...),
			k.post("/v1/additions?units=us", `{"tank":`+tankJSON+`,"residents":[`+line+`],"instead_of":"neon tetra","filters":{"family":"characidae"},"wanted_level":"high"}`)},
	} {
		if c.stored.Code != http.StatusOK || c.stored.Body.String() != c.stateless.Body.String() {
			t.Errorf("%s:\nstored    %d %s\nstateless %d %s", name, c.stored.Code, clipped(c.stored.Body.String()), c.stateless.Code, clipped(c.stateless.Body.String()))
		}
	}
}

func TestChecksOfAStoredTankThatCannotBe(t *testing.T) {
	k := newKeeper(t)
	empty := k.tank(`{"tank":{}}`)
	full := k.tank(`{"tank":{},"residents":[{"species":"guppy"}]}`)
	wantProblem(t, "nobody lives there", k.get(empty+"/check", k.key...), http.StatusUnprocessableEntity, impossibleValue)
	if a := k.get(empty+"/additions", k.key...); a.Code != http.StatusOK {
		t.Errorf("what could join an empty tank: %d %s", a.Code, a.Body)
	}
	wantProblem(t, "an unknown newcomer", k.post(full+"/check", `{"incoming":[{"species":"gupy"}]}`, k.key...), http.StatusUnprocessableEntity, unknownSpecies)
	wantProblem(t, "an unknown species", k.get(full+"/additions?instead_of=gupy", k.key...), http.StatusUnprocessableEntity, unknownSpecies)
	wantProblem(t, "an impossible length", k.get(full+"/additions?max_length_cm=9999", k.key...), http.StatusUnprocessableEntity, impossibleValue)
	wantProblem(t, "no length", k.get(full+"/additions?max_length_cm=long", k.key...), http.StatusBadRequest, malformedParameter)
	if a := k.get(full+"/additions?instead_of=gupy", k.key...); !strings.Contains(a.Body.String(), "/query/instead_of") {
		t.Errorf("where: %s", a.Body)
	}
}
