package lists_test

import (
	"strings"
	"testing"
	"time"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/api/middleware"
	"commensal/api/respond"
	"commensal/api/validate"
	"commensal/api/wire"
	"commensal/internal/conflict"
)

const mixedList = `{"tank":{"size":"150x60x60cm","temperature_c":"77F","lid":true,"weekly_change":0.3,"filter_mature":false,"ph":6.8},
	"residents":[{"species":"Neon tetra","count":12},{"species":"oscar","count":1}],
	"incoming":[{"species":"Betta","count":1,"length_cm":"2in"},{"species":"paracheirodon-innesi","count":3}]%s}`

func mixed(rest string) string { return strings.Replace(mixedList, "%s", rest, 1) }

func TestACheckSaysWhatStopsAListAndWhatToLeaveOut(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	c := apitest.CheckOf(t, w, mixed(""))
	if c.Decision != gen.Hold || !strings.HasPrefix(c.Summary, "Hold: ") {
		t.Errorf("%s %q", c.Decision, c.Summary)
	}
	if len(c.LeaveOut.Sets) != 1 || len(c.LeaveOut.Sets[0].Lines) != 1 || c.LeaveOut.Sets[0].Lines[0].Species != "astronotus-ocellatus" || !c.LeaveOut.Optimal {
		t.Errorf("leave out %+v", c.LeaveOut)
	}
	for i := 1; i < len(c.Pairings); i++ {
		if c.Pairings[i].Score > c.Pairings[i-1].Score {
			t.Errorf("pairing %d is worse than the one before it", i)
		}
	}
	if c.Load == nil || c.Load.Ammonia == nil || c.Load.Ammonia.UnionizedMgL == nil {
		t.Errorf("the load is incomplete: %+v", c.Load)
	}
	if l := c.Lines[1]; l.LengthCm == nil || *l.LengthCm != 5.08 || !l.Incoming || l.Refs[0] != "/incoming/0" {
		t.Errorf("line %+v", l)
	}
	for _, p := range c.Pairings {
		if a := w.Get(p.Pairing); a.Code != 200 {
			t.Errorf("%s: %d", p.Pairing, a.Code)
		}
	}
}

func TestWithoutTheFishThatIsLeftOutACheckHoldsNothing(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	c := apitest.CheckOf(t, w, `{"tank":{"size":"150x60x60cm","temperature_c":25,"lid":true},"residents":[{"species":"Neon tetra","count":12},{"species":"Betta","count":1}]}`)
	if c.Decision == gen.Hold || len(c.LeaveOut.Sets) != 0 {
		t.Errorf("%s %+v", c.Decision, c.LeaveOut)
	}
}

func TestLikeLinesAreMergedAndUnlikeOnesKeptApart(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	c := apitest.CheckOf(t, w, `{"residents":[{"species":"Neon tetra","count":4},{"species":"neon tetra","count":6},{"species":"paracheirodon-innesi","sex":"male"}]}`)
	if len(c.Lines) != 2 || c.Lines[0].Count != 10 || len(c.Lines[0].Refs) != 2 || c.Lines[1].CountGiven || len(c.Pairings) != 3 {
		t.Errorf("%+v", c.Lines)
	}
}

func TestTheOrderOfAListNeverMatters(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	a := apitest.CheckOf(t, w, `{"residents":[{"species":"oscar"},{"species":"guppy","count":5},{"species":"zebra danio","count":8}]}`)
	b := apitest.CheckOf(t, w, `{"residents":[{"species":"zebra danio","count":8},{"species":"oscar"},{"species":"guppy","count":5}]}`)
	for i := range a.Lines {
		a.Lines[i].Refs, b.Lines[i].Refs = nil, nil
	}
	for _, c := range []*gen.Check{&a, &b} { // the caller's own places differ
		for i := range c.Findings {
			c.Findings[i].Refs = nil
		}
		for i := range c.Ask {
			c.Ask[i].Refs = nil
		}
	}
	if x, y := encoded(t, a), encoded(t, b); x != y {
		t.Errorf("%s\n%s", x, y)
	}
}

func encoded(t *testing.T, v any) string {
	t.Helper()
	b, err := respond.EncodeJSON(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func TestFishThatHaveToStayAreNotLeftOut(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	c := apitest.CheckOf(t, w, mixed(`,"keep":["oscar"]`))
	for _, l := range c.LeaveOut.Sets[0].Lines {
		if l.Species == "astronotus-ocellatus" {
			t.Errorf("it is left out: %+v", c.LeaveOut)
		}
	}
	if c = apitest.CheckOf(t, w, mixed(`,"keep":["oscar","betta","neon tetra"]`)); len(c.LeaveOut.Pinned) == 0 {
		t.Error("a conflict among fish that have to stay is not told")
	}
}

func TestADispositionStandsBesideTheAnswerForTheSpecies(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	c := apitest.CheckOf(t, w, `{"residents":[{"species":"Pterophyllum scalare","count":1},{"species":"convict cichlid","count":1,"disposition":"calmer","months_observed":18}]}`)
	p := c.Pairings[0]
	if p.SpeciesLevel == nil || p.SpeciesLevel.Score <= p.Score || !strings.Contains(c.Summary, "its species") {
		t.Errorf("%+v %q", p, c.Summary)
	}
	if c = apitest.CheckOf(t, w, `{"residents":[{"species":"angelfish","count":1},{"species":"oscar","count":1,"disposition":"fiercer"}]}`); c.Pairings[0].SpeciesLevel != nil {
		t.Error("a disposition of no time counts")
	}
}

func TestWhatATankDoesNotTellIsNamed(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	for body, code := range map[string]string{
		`{"residents":[{"species":"oscar"}]}`:                                                                 "assumed.no_tank",
		`{"tank":{},"residents":[{"species":"oscar"}]}`:                                                       "assumed.no_tank",
		`{"tank":{"volume_l":"55gal"},"residents":[{"species":"oscar"}]}`:                                     "assumed.shape",
		`{"tank":{"length_cm":100,"width_cm":"15.75in"},"residents":[{"species":"oscar","count":1}]}`:         "assumed.cover",
		`{"tank":{"length_cm":1e2,"width_cm":40,"volume_l":160},"residents":[{"species":"oscar","count":1}]}`: "assumed.net_volume",
	} {
		c, found := apitest.CheckOf(t, w, body), false
		for _, a := range c.Assumed {
			found = found || a.Code == code
		}
		if !found {
			t.Errorf("%s: %+v", body, c.Assumed)
		}
	}
	c := apitest.CheckOf(t, w, `{"tank":{"volume_l":200},"residents":[{"species":"oscar"}]}`)
	if f := c.Findings; len(f) == 0 || !hasCode(f, "footprint_too_small") {
		t.Errorf("%+v", f)
	}
}

func hasCode(list []gen.Finding, code string) bool {
	for _, f := range list {
		if f.Code == code {
			return true
		}
	}
	return false
}

func TestFishThatShareNoWaterAreNamed(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Full(t)))
	c := apitest.CheckOf(t, w, `{"residents":[{"species":"periophthalmus-barbarus"},{"species":"paracheirodon-innesi"}]}`)
	if c.SharedWater != nil || c.RuledOutBy == nil || (*c.RuledOutBy)[0].Parameter != gen.SalinityPpt {
		t.Errorf("%+v %+v", c.SharedWater, c.RuledOutBy)
	}
}

func TestUSUnitsAreAddedToTheWordsOfACheck(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	a := w.Post("/v1/checks?units=us", mixed(""))
	if a.Code != 200 || !strings.Contains(a.Body.String(), " in)") {
		t.Errorf("%d %s", a.Code, a.Body)
	}
}

func TestACheckOf200Lines(t *testing.T) {
	book := fixture.Full(t)
	lines := make([]string, 200)
	for i := range lines {
		lines[i] = `{"species":"` + string(book.Snapshot.At(i%book.Snapshot.Len()).ID) + `","length_cm":` + wire.Plain(float64(5+i/100)) + `}`
	}
	w := apitest.Ask(t, apitest.ServerOf(t, book))
	c := apitest.CheckOf(t, w, `{"residents":[`+strings.Join(lines[:150], ",")+`],"incoming":[`+strings.Join(lines[150:], ",")+`]}`)
	if len(c.Lines) < 150 || c.LeaveOut.Gap < 0 || c.LeaveOut.Optimal != (c.LeaveOut.Gap == 0) && c.LeaveOut.Optimal {
		t.Errorf("%d lines, %+v", len(c.Lines), c.LeaveOut.Gap)
	}
}

func TestListsAreLimitedAndWaitForACatalogue(t *testing.T) {
	list := `{"residents":[{"species":"oscar"}]}`
	for target, body := range map[string]string{"/v1/checks": list, "/v1/additions": list, "/v1/groupings": list,
		"/v1/placements": `{"incoming":[{"species":"oscar"}],"tanks":[{}]}`} {
		clock := fixture.NewClock()
		w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t), func(cfg *api.Config) {
			cfg.Now, cfg.RateLimit = clock.Now, middleware.RateLimit{Quota: 1, Window: time.Minute}
		}))
		if a := w.Post(target, body, "Idempotency-Key", "till 2"); a.Code != 200 {
			t.Errorf("%s: %d %s", target, a.Code, a.Body)
		}
		if a := w.Post(target, body); a.Code != 429 {
			t.Errorf("%s: %d", target, a.Code)
		}
		w = apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t), func(cfg *api.Config) { cfg.Book = func() *conflict.Book { return nil } }))
		if a := w.Post(target, body); a.Code != 503 {
			t.Errorf("%s: %d", target, a.Code)
		}
		if a := w.Post(target, body, "Content-Type", "text/yaml"); a.Code != 415 {
			t.Errorf("%s: %d", target, a.Code)
		}
		if a := w.Post(target, `{"residents":["`+strings.Repeat("a", validate.MaxBody)+`"]}`); a.Code != 413 {
			t.Errorf("%s: %d", target, a.Code)
		}
	}
}

func TestTheOutlookOfYoungFishSaysWhenTheyClash(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	c := apitest.CheckOf(t, w, `{"tank":{"size":"120x50x50cm"},"residents":[{"species":"oscar","count":1,"length_cm":5,"age_months":3},{"species":"angelfish","count":1}]}`)
	o := c.Outlook
	if len(o.Growth) == 0 || len(o.Events) == 0 || len(o.Commitments) != 2 {
		t.Fatalf("%+v", o)
	}
	lengths := o.Growth[0].LengthsCm
	if last := lengths[len(lengths)-1]; lengths[0].Typical != 5 || last.Typical < 25 {
		t.Errorf("%+v", lengths)
	}
	outgrows := false
	for _, e := range o.Events {
		outgrows = outgrows || e.Code == gen.OutgrowsLength && e.Months.Typical != nil && *e.Months.Typical > 0
	}
	if !outgrows {
		t.Errorf("it does not outgrow the tank: %+v", o.Events)
	}
	c = apitest.CheckOf(t, w, `{"residents":[{"species":"oscar","count":1}]}`)
	if o = c.Outlook; len(o.Growth) != 0 || len(o.Events) != 0 || len(o.Commitments) != 1 {
		t.Errorf("an adult grows: %+v", o)
	}
}

func TestAHeldListIsToldWhatWouldHelpAndTheHelpHolds(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Full(t)))
	body := `{"tank":{"size":"120x50x50cm","temperature_c":25,"lid":true,"filter_mature":true},
		"residents":[{"species":"paracheirodon-innesi","count":12}],"incoming":[{"species":"astronotus-ocellatus","count":1}]}`
	held := apitest.CheckOf(t, w, body)
	if held.Decision != gen.Hold || len(held.Remedies) == 0 && held.NoRemedy == nil {
		t.Fatalf("decision %s, remedies %v, none %v", held.Decision, held.Remedies, held.NoRemedy)
	}
	for _, r := range held.Remedies {
		if len(r.Changes) == 0 || r.Decision == gen.Hold {
			t.Errorf("a remedy of %d changes leads to %s", len(r.Changes), r.Decision)
		}
	}
	without := strings.Replace(body, `"incoming":[{"species":"astronotus-ocellatus","count":1}]`, `"incoming":[]`, 1)
	rest := apitest.CheckOf(t, w, without)
	for _, r := range held.Remedies {
		if len(r.Changes) == 1 && r.Changes[0].Code == gen.ListChangeCodeLeaveOut && rest.Decision != r.Decision {
			t.Errorf("leaving out promises %s, the list without gives %s", r.Decision, rest.Decision)
		}
	}
}
