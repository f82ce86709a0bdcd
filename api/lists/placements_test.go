package lists_test

import (
	"encoding/json"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"testing"

	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/internal/auth"
)

func placementsOf(t *testing.T, body string) gen.Placements {
	t.Helper()
	var p gen.Placements
	a := apitest.Ask(t, apitest.ServerOf(t, fixture.Full(t))).Post("/v1/placements", body)
	if err := json.Unmarshal(a.Body.Bytes(), &p); err != nil || a.Code != 200 {
		t.Fatalf("%s: %d %v %s", body, a.Code, err, a.Body)
	}
	return p
}

const twoHomes = `"tanks":[{"external_ref":"harbour street","tank":{"size":"180x60x60cm","temperature_c":26}},
	{"external_ref":"mill lane","tank":{"size":"100x40x40cm"},"residents":[{"species":"neon tetra","count":12}]}]`

func TestFishArePlacedWithReasonsForEveryTank(t *testing.T) {
	p := placementsOf(t, `{"incoming":[{"species":"oscar","count":1,"length_cm":"7in"},{"species":"Hoplisoma panda","count":6}],`+twoHomes+`}`)
	if p.Lost != 0 || !p.Optimal || len(p.Tanks) != 2 || len(p.Held) != 0 || p.Harm != p.HarmBound {
		t.Fatalf("%+v", p)
	}
	if *p.Tanks[0].ExternalRef != "harbour street" || !slices.Equal(p.Tanks[0].Lines, []int{0}) || !slices.Equal(p.Tanks[1].Lines, []int{1}) {
		t.Errorf("%+v", p.Tanks)
	}
	oscar := p.Arrivals[0]
	if *oscar.Tank != 0 || oscar.Fitting != 1 || len(oscar.Options) != 2 || oscar.Options[1].With != gen.TankOptionWithLine ||
		*oscar.Options[1].Resident != 0 || !strings.Contains(oscar.Options[1].Reason, "neon tetra") || oscar.Options[1].Harm != nil {
		t.Errorf("%+v", oscar)
	}
	if l := p.Incoming[0]; l.Refs[0] != "/incoming/0" || l.LengthCm == nil || *l.LengthCm != 17.78 || !l.Incoming {
		t.Errorf("%+v", l)
	}
}

func TestLinesThatGoTogetherShareATank(t *testing.T) {
	fish := `{"incoming":[{"species":"panda cory","count":6},{"species":"bristlenose","count":1},{"species":"kuhli loach","count":6}],"together":[[0,1],[1,2]],`
	p := placementsOf(t, fish+`"tanks":[{"tank":{"size":"120x50x50cm"}},{"tank":{"size":"120x50x50cm"}}]}`)
	if len(p.Arrivals) != 1 || !slices.Equal(p.Arrivals[0].Lines, []int{0, 1, 2}) || len(p.Tanks) != 1 {
		t.Errorf("%+v", p)
	}
}

func TestOneEachSpreadsTheFish(t *testing.T) {
	fish := `{"incoming":[{"species":"panda cory","count":6},{"species":"neon tetra","count":12},{"species":"oscar","count":1}],`
	p := placementsOf(t, fish+`"one_each":true,"options":1,"tanks":[{"tank":{"size":"100x40x40cm"}},{"tank":{"size":"100x40x40cm"}}]}`)
	if len(p.Tanks) != 2 || p.Lost != 1 || p.LostBound != 1 || !p.Optimal || len(p.Arrivals[0].Options) != 1 || p.Arrivals[2].Tank != nil {
		t.Errorf("%+v", p)
	}
}

func TestEveryTankIsToldWhatItCouldTakeWhereThatIsAsked(t *testing.T) {
	p := placementsOf(t, `{"by_tank":true,"options":1,"incoming":[{"species":"oscar","count":1},{"species":"Hoplisoma panda","count":6}],`+twoHomes+`}`)
	if p.ByTank == nil || len(*p.ByTank) != 2 {
		t.Fatalf("%+v", p.ByTank)
	}
	for i, line := range []int{0, 1} { // the harbour street tank suits the oscar best, mill lane the corys
		a := (*p.ByTank)[i]
		if len(a.Candidates) != 1 || a.Candidates[0].Lines[0] != line || a.Candidates[0].Placed == nil || *a.Candidates[0].Placed != i || !a.Candidates[0].Fits {
			t.Errorf("tank %d: %+v", i, a)
		}
	}
	if plain := placementsOf(t, `{"incoming":[{"species":"oscar","count":1}],`+twoHomes+`}`); plain.ByTank != nil {
		t.Errorf("%+v", plain.ByTank)
	}
}

func TestATankOnHoldIsNamed(t *testing.T) {
	p := placementsOf(t, `{"incoming":[{"species":"bristlenose","count":1}],"tanks":[{"tank":{"size":"150x60x60cm"},"residents":[{"species":"oscar","count":1},{"species":"neon tetra","count":12}]}]}`)
	if !slices.Equal(p.Held, []int{0}) || p.Arrivals[0].Tank != nil || p.Arrivals[0].Options[0].Fits || len(p.Tanks) != 0 {
		t.Errorf("%+v", p)
	}
}

func TestBadPlacementsAreRefusedWithEveryFault(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	one := `{"incoming":[{"species":"oscar"}],`
	for _, c := range []struct {
		name, body string
		status     int
		slug       respond.Slug
		pointers   []string
	}{
		{"nobody", `{"incoming":[],"tanks":[{}]}`, 422, respond.ImpossibleValue, []string{"/incoming"}},
		{"nowhere", one + `"tanks":[]}`, 422, respond.ImpossibleValue, []string{"/tanks"}},
		{"no tanks", `{"incoming":[{"species":"oscar"}]}`, 400, respond.MalformedBody, []string{"/tanks"}},
		{"101 lines", `{"incoming":[` + strings.TrimSuffix(strings.Repeat(`{"species":"oscar"},`, 101), ",") + `],"tanks":[{}]}`, 422, respond.ImpossibleValue, []string{"/incoming"}},
		{"501 tanks", one + `"tanks":[` + strings.TrimSuffix(strings.Repeat(`{},`, 501), ",") + `]}`, 422, respond.ImpossibleValue, []string{"/tanks"}},
		{"a bond with nobody", one + `"together":[[0,1]],"tanks":[{}]}`, 422, respond.ImpossibleValue, []string{"/together/0/1"}},
		{"a bond of one", one + `"together":[[0]],"tanks":[{}]}`, 422, respond.ImpossibleValue, []string{"/together/0"}},
		{"half a line", one + `"together":[[0,0.5]],"tanks":[{}]}`, 400, respond.MalformedBody, []string{"/together/0/1"}},
		{"bad tanks", one + `"tanks":[{"tank":{"ph":20}},{"external_ref":"a\u0007b","tank":{"length_cm":50}},{"residents":[{"species":"oscarr"}]}]}`, 422, respond.ImpossibleValue,
			[]string{"/tanks/0/tank/ph", "/tanks/1/external_ref", "/tanks/1/tank/width_cm", "/tanks/2/residents/0/species"}},
		{"a name that is none beside a broken contract", one + `"options":0,"tanks":[{"residents":[{"species":"oscarr"}]}]}`, 422, respond.ImpossibleValue,
			[]string{"/options", "/tanks/0/residents/0/species"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			w.T = t
			refused(t, w.Post("/v1/placements", c.body), c.status, c.slug, c.pointers)
		})
	}
}

func TestTheLargestPlacementIsAnswered(t *testing.T) {
	var fish, tanks []string
	entries := fixture.Full(t).Snapshot
	for i := range 100 {
		fish = append(fish, `{"species":"`+string(entries.At(i%entries.Len()).ID)+`","count":`+strconv.Itoa(1+i%5)+`}`)
	}
	for i := range 500 {
		tanks = append(tanks, `{"tank":{"size":"`+strconv.Itoa(60+i%200)+`x50x50cm"}}`)
	}
	p := placementsOf(t, `{"incoming":[`+strings.Join(fish, ",")+`],"tanks":[`+strings.Join(tanks, ",")+`],"options":20}`)
	if p.Lost < p.LostBound || len(p.Tanks) == 0 || p.Optimal && p.Harm != p.HarmBound {
		t.Errorf("lost %v of at least %v in %d tanks", p.Lost, p.LostBound, len(p.Tanks))
	}
}

func TestStoredTanksTakeFishForTheirOwnersOnly(t *testing.T) {
	h := apitest.NewService(t)
	key := h.Key("here", auth.TanksRead)
	mine, theirs := h.Things("here")["tank"], h.Things("there")["tank"]
	ask := func(tank string) string {
		return `{"incoming":[{"species":"paracheirodon-innesi","count":6}],"tanks":[{"tank":{"size":"45x30x30cm"}},{"id":"` + tank + `"}]}`
	}
	if a := h.Post("/v1/placements", ask(mine)); a.Code != http.StatusUnauthorized {
		t.Errorf("without a key: %d %s", a.Code, a.Body)
	}
	if a := h.Post("/v1/placements", ask(mine), h.Key("here", auth.ChecksWrite)...); a.Code != http.StatusForbidden {
		t.Errorf("with another scope: %d %s", a.Code, a.Body)
	}
	p := apitest.Body[gen.Placements](t, h.Post("/v1/placements", ask(mine), key...), http.StatusOK)
	if len(p.Arrivals) != 1 || len(p.Arrivals[0].Options) != 2 {
		t.Errorf("%+v", p)
	}
	other := h.Key("there", auth.TanksRead)
	for what, tank := range map[string]string{"another's": mine, "an unknown one": "019a0000-0000-7000-8000-000000000000", "no id": "tank 7"} {
		a := h.Post("/v1/placements", ask(tank), other...) // also where the same body was answered before
		if a.Code != http.StatusUnprocessableEntity || !strings.Contains(a.Body.String(), "/tanks/1/id") {
			t.Errorf("%s: %d %s", what, a.Code, a.Body)
		}
	}
	beside := `{"incoming":[{"species":"paracheirodon-innesi"}],"tanks":[{"id":"` + theirs + `","tank":{"size":"60x30x36cm"}}]}`
	apitest.WantProblem(t, "a tank beside its id", h.Post("/v1/placements", beside, other...), http.StatusUnprocessableEntity, respond.ImpossibleValue)
	if away := ask(mine); h.Post("/v1/placements", away, "Authorization", "Bearer x").Code != http.StatusUnauthorized {
		t.Error("a text that is no key is accepted")
	}
}
