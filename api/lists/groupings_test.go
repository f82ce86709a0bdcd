package lists_test

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/api/respond"
)

const threeKinds = `{"residents":[{"species":"neon tetra","count":12},{"species":"oscar","count":1},{"species":"Hoplisoma panda","count":6}]`

func groupingsOf(t *testing.T, body string) gen.Groupings {
	t.Helper()
	var g gen.Groupings
	a := apitest.Ask(t, apitest.ServerOf(t, fixture.Full(t))).Post("/v1/groupings", body)
	if err := json.Unmarshal(a.Body.Bytes(), &g); err != nil || a.Code != 200 {
		t.Fatalf("%s: %d %v %s", body, a.Code, err, a.Body)
	}
	return g
}

func TestAListIsSplitOverTanksOfStandardSizes(t *testing.T) {
	g := groupingsOf(t, threeKinds+`}`)
	if g.Given || len(g.Groups) != 2 || !g.Optimal || g.LowerBound != 2 || g.Gap != 0 || len(g.Unplaced) != 0 {
		t.Fatalf("%+v", g)
	}
	for i, group := range g.Groups {
		if group.Size == nil || group.Tank != nil || group.Decision == gen.Hold {
			t.Errorf("group %d: %+v", i, group)
		}
		if w := group.Worst; len(group.Lines) > 1 && (w == nil || !strings.Contains(w.Pairing, "tank="+*group.Size)) {
			t.Errorf("group %d links its worst pairing without its tank: %+v", i, w)
		}
	}
}

func TestAListIsSpreadOverTheTanksGiven(t *testing.T) {
	g := groupingsOf(t, threeKinds+`,"tanks":[{"size":"60x30x36cm"},{"size":"100x40x40cm","temperature_c":25,"ph":"6.8"}]}`)
	if !g.Given || g.LowerBound != 0 || !g.Optimal || g.Lost != 1 || g.LostBound != 1 || len(g.Unplaced) != 1 {
		t.Fatalf("%+v", g)
	}
	u := g.Unplaced[0]
	if id := g.Lines[u.Lines[0]].Species.Id; id != "astronotus-ocellatus" || u.Tank == nil || u.Reason == "" {
		t.Errorf("%s has no place: %+v", id, u)
	}
	placed := len(u.Lines)
	for _, group := range g.Groups {
		placed += len(group.Lines)
		if group.Tank == nil || group.Size != nil {
			t.Errorf("%+v", group)
		}
	}
	if placed != len(g.Lines) {
		t.Errorf("%d of %d lines are accounted for", placed, len(g.Lines))
	}
}

func TestASplitDoesNotDependOnTheOrderOfTheList(t *testing.T) {
	lines := []string{`{"species":"neon tetra","count":12}`, `{"species":"oscar"}`, `{"species":"goldfish","count":4}`, `{"species":"betta","sex":"male","count":1}`}
	var first []gen.Grouping
	for range lines {
		lines = append(lines[1:], lines[0])
		g := groupingsOf(t, `{"residents":[`+strings.Join(lines, ",")+`]}`)
		if first == nil {
			first = g.Groups
		}
		same := func(a, b gen.Grouping) bool {
			return slices.Equal(a.Lines, b.Lines) && *a.Size == *b.Size && a.Summary == b.Summary
		}
		if !slices.EqualFunc(first, g.Groups, same) {
			t.Fatalf("%+v, then %+v", first, g.Groups)
		}
	}
}

func TestGroupingsAreKeptAndHaveUSWords(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Full(t)))
	one, two := w.Post("/v1/groupings", threeKinds+`}`), w.Post("/v1/groupings", threeKinds+`}`)
	if one.Body.String() != two.Body.String() {
		t.Error("the same question has two answers")
	}
	if us := w.Post("/v1/groupings?units=us", threeKinds+`,"tanks":[{"size":"60x30x36cm"}]}`); !strings.Contains(us.Body.String(), " in)") {
		t.Errorf("no inches in %s", us.Body)
	}
}

func TestAHeldCheckSaysHowTheListSplits(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Full(t)))
	held := apitest.CheckOf(t, w, threeKinds+`}`)
	if held.Groupings == nil || len(held.Groupings.Groups) != 2 || held.Groupings.LowerBound != 2 {
		t.Fatalf("%+v", held.Groupings)
	}
	calm := apitest.CheckOf(t, w, `{"residents":[{"species":"neon tetra","count":12}]}`)
	if calm.Decision == gen.Hold || calm.Groupings != nil {
		t.Errorf("%s with %+v", calm.Decision, calm.Groupings)
	}
}

func TestBadGroupingsAreRefusedWithEveryFault(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	tanks := func(n int) string { return strings.TrimSuffix(strings.Repeat(`{},`, n), ",") }
	for _, c := range []struct {
		name, body string
		status     int
		slug       respond.Slug
		pointers   []string
	}{
		{"an empty list", `{"residents":[]}`, 422, respond.ImpossibleValue, []string{"/residents"}},
		{"no list", `{"tanks":[]}`, 400, respond.MalformedBody, []string{"/residents"}},
		{"incoming fish", `{"residents":[{"species":"oscar"}],"incoming":[]}`, 400, respond.MalformedBody, []string{"/incoming"}},
		{"101 tanks", `{"residents":[{"species":"oscar"}],"tanks":[` + tanks(101) + `]}`, 422, respond.ImpossibleValue, []string{"/tanks"}},
		{"a flat tank", `{"residents":[{"species":"oscar"}],"tanks":[{},{"length_cm":60}]}`, 422, respond.ImpossibleValue, []string{"/tanks/1/width_cm"}},
		{"bad readings in two tanks", `{"residents":[{"species":"oscar"}],"tanks":[{"ph":20},{"size":"1x1x1cm"}]}`, 422, respond.ImpossibleValue,
			[]string{"/tanks/0/ph", "/tanks/1/size"}},
		{"an unknown fish beside a bad tank", `{"residents":[{"species":"oscarr"}],"tanks":[{"size":"60x30x36cm","volume_l":60}]}`, 422, respond.ImpossibleValue,
			[]string{"/tanks/0/volume_l", "/residents/0/species"}},
		{"201 lines", `{"residents":[` + strings.TrimSuffix(strings.Repeat(`{"species":"oscar"},`, 201), ",") + `]}`, 422, respond.ImpossibleValue, []string{"/residents"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			w.T = t
			refused(t, w.Post("/v1/groupings", c.body), c.status, c.slug, c.pointers)
		})
	}
}
