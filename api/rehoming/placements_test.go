package rehoming_test

import (
	"encoding/json"
	"net/http"
	"path"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"commensal/api/apitest"
	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/internal/auth"
)

// desk is a rehoming desk with two stored tanks and fish for both.
type desk struct {
	*apitest.TankOwner
	harbour, mill string // paths of the tanks
}

func newDesk(t *testing.T) *desk {
	t.Helper()
	d := &desk{TankOwner: apitest.NewTankOwner(t)}
	d.harbour = d.Tank(`{"label":"Harbour Street","external_ref":"A-17","tank":{"size":"180x60x60cm"}}`)
	d.mill = d.Tank(`{"label":"Mill Lane","tank":{"size":"100x40x40cm"},"residents":[{"species":"paracheirodon-innesi","count":12}],"wishes":{"wanted":["danio-rerio"],"at_most":10}}`)
	return d
}

// fish look for a home: the oscar can only go to Harbour Street, the danios to either.
const fish = `"incoming":[{"species":"oscar","count":1,"length_cm":"7in","age_months":10},{"species":"zebra danio","count":8}]`

func (d *desk) ask(more string) string {
	return `{` + more + fish + `,"tanks":[{"id":"` + path.Base(d.harbour) + `"},{"id":"` + path.Base(d.mill) + `"},{"label":"Not stored","tank":{"size":"30x20x20cm"}}]}`
}

// propose stores a proposal and returns its path.
func (d *desk) propose() (at string) {
	d.T.Helper()
	a := d.Post("/v1/placements", d.ask(`"store":true,"store_ref":"round 1",`), d.Key...)
	if a.Code != http.StatusCreated {
		d.T.Fatalf("%d %s", a.Code, a.Body)
	}
	return a.Header().Get("Location")
}

func (d *desk) accept(at, body string, headers ...string) apitest.Answer {
	d.T.Helper()
	return d.Post(at+"/accept", body, apitest.With(d.Key, headers)...)
}

// kinds are the kinds that live in a tank with their numbers.
func (d *desk) kinds(tank string) (out []string) {
	d.T.Helper()
	for _, r := range apitest.Body[gen.ResidentsPage](d.T, d.Get(tank+"/residents", d.Key...), http.StatusOK).Residents {
		text, err := json.Marshal([]any{r.Line.Species, *r.Line.Count})
		if err != nil {
			d.T.Fatal(err)
		}
		out = append(out, string(text))
	}
	return out
}

func TestAProposalIsKeptReadAndDeleted(t *testing.T) {
	d := newDesk(t)
	at := d.propose()
	a := d.Get(at, d.Key...)
	p := apitest.Body[gen.StoredPlacement](t, a, http.StatusOK)
	if !slices.Equal(p.Open, []int{0, 1}) || len(p.Tanks) != 2 || p.Tanks[0].Id != path.Base(d.harbour) || *p.StoreRef != "round 1" || len(p.Acceptances) != 0 {
		t.Errorf("%s", a.Body)
	}
	var answer gen.Placements
	if err := json.Unmarshal(p.Answer, &answer); err != nil {
		t.Fatal(err)
	}
	for i, label := range []string{"Harbour Street", "Mill Lane"} {
		arrival := answer.Arrivals[i]
		if o := arrival.Options[0]; !o.Chosen || *o.Label != label || *answer.Tanks[i].Label != label || len(arrival.Reason) < 10 || answer.HarmSummary == "" {
			t.Errorf("%+v", arrival)
		}
	}
	if *answer.Arrivals[1].Options[0].Wanted != true {
		t.Errorf("the keeper's stored wish is not counted: %+v", answer.Arrivals[1])
	}
	if again := d.Get(at, apitest.With(d.Key, []string{"If-None-Match", a.Header().Get("ETag")})...); again.Code != http.StatusNotModified {
		t.Errorf("%d", again.Code)
	}
	if list := apitest.Body[gen.PlacementsPage](t, d.Get("/v1/placements", d.Key...), http.StatusOK); len(list.Placements) != 1 || list.Placements[0].Id != path.Base(at) {
		t.Errorf("%+v", list)
	}
	if a := d.Do(http.MethodDelete, at, "", d.Key...); a.Code != http.StatusNoContent {
		t.Errorf("%d %s", a.Code, a.Body)
	}
	apitest.WantProblem(t, "deleted", d.Get(at, d.Key...), http.StatusNotFound, respond.NotFound)
	apitest.WantProblem(t, "deleted twice", d.Do(http.MethodDelete, at, "", d.Key...), http.StatusNotFound, respond.NotFound)
}

func TestKeepingNeedsAKeyThatMayChangeTanks(t *testing.T) {
	d := newDesk(t)
	apitest.WantProblem(t, "no key", d.Post("/v1/placements", d.ask(`"store":true,`)), http.StatusUnauthorized, respond.KeyMissing)
	reader := d.Service.Key("here", auth.TanksRead)
	apitest.WantProblem(t, "a reader", d.Post("/v1/placements", d.ask(`"store":true,`), reader...), http.StatusForbidden, respond.ScopeMissing)
	writer := d.Service.Key("here", auth.TanksWrite)
	apitest.WantProblem(t, "who may not read tanks", d.Post("/v1/placements", d.ask(`"store":true,`), writer...), http.StatusForbidden, respond.ScopeMissing)
	apitest.WantProblem(t, "a number of nothing", d.Post("/v1/placements", d.ask(`"store_ref":"x",`), d.Key...), http.StatusUnprocessableEntity, respond.ImpossibleValue)
	twice := `{` + fish + `,"tanks":[{"id":"` + path.Base(d.mill) + `"},{"id":"` + path.Base(d.mill) + `"}]}`
	if a := d.Post("/v1/placements", twice, d.Key...); a.Code != http.StatusUnprocessableEntity || !strings.Contains(a.Body.String(), "/tanks/1/id") {
		t.Errorf("one tank twice: %d %s", a.Code, a.Body)
	}
	stranger := d.Service.Key("there", auth.TanksRead, auth.TanksWrite)
	if list := apitest.Body[gen.PlacementsPage](t, d.Get("/v1/placements", stranger...), http.StatusOK); len(list.Placements) != 0 {
		t.Errorf("%+v", list)
	}
}

func TestAProposalIsAcceptedInPartsEachOnce(t *testing.T) {
	d := newDesk(t)
	at := d.propose()
	d.Clock.Turn(73 * 24 * time.Hour)
	first := apitest.Body[gen.StoredPlacement](t, d.accept(at, `{"arrivals":[0]}`), http.StatusOK)
	if !slices.Equal(first.Open, []int{1}) || len(first.Acceptances) != 1 || first.Acceptances[0].Tank != path.Base(d.harbour) {
		t.Errorf("%+v", first)
	}
	line := apitest.Body[gen.ResidentsPage](t, d.Get(d.harbour+"/residents", d.Key...), http.StatusOK).Residents[0].Line
	if line.Species != "astronotus-ocellatus" || *line.Count != 1 || string(*line.LengthCm) != `"7in"` || *line.AgeMonths < 12.3 || *line.AgeMonths > 12.5 || line.Weight != nil {
		t.Errorf("%+v", line)
	}
	if got := d.kinds(d.mill); !slices.Equal(got, []string{`["paracheirodon-innesi",12]`}) {
		t.Errorf("what was not accepted is there: %v", got)
	}
	a := d.accept(at, `{"arrivals":[1,0]}`)
	apitest.WantProblem(t, "a part for the second time", a, http.StatusConflict, respond.AlreadyAccepted)
	if p := apitest.ProblemIn(t, a); (*p.Errors)[0].Pointer != "/arrivals/1" || len(d.kinds(d.mill)) != 1 {
		t.Errorf("%s; %v", a.Body, d.kinds(d.mill))
	}
	rest := apitest.Body[gen.StoredPlacement](t, d.accept(at, `{}`), http.StatusOK)
	if len(rest.Open) != 0 || len(rest.Acceptances) != 2 || !slices.Equal(d.kinds(d.mill), []string{`["paracheirodon-innesi",12]`, `["danio-rerio",8]`}) {
		t.Errorf("%+v %v", rest, d.kinds(d.mill))
	}
	apitest.WantProblem(t, "nothing is left", d.accept(at, `{}`), http.StatusConflict, respond.AlreadyAccepted)
}

// Parts of one proposal that share a tank are accepted one after the other: what the first wrote is no change by others.
func TestPartsThatShareATankAreAcceptedOneByOne(t *testing.T) {
	d := newDesk(t)
	ask := `{"store":true,"incoming":[{"species":"danio-rerio","count":8},{"species":"paracheirodon-axelrodi","count":10}],"tanks":[{"id":"` + path.Base(d.harbour) + `"}]}`
	at := d.Post("/v1/placements", ask, d.Key...).Header().Get("Location")
	for _, part := range []string{`{"arrivals":[1]}`, `{"arrivals":[0]}`} {
		if a := d.accept(at, part); a.Code != http.StatusOK {
			t.Fatalf("%s: %d %s", part, a.Code, a.Body)
		}
	}
	if len(d.kinds(d.harbour)) != 2 {
		t.Errorf("%v", d.kinds(d.harbour))
	}
}

func TestARepeatedAcceptanceIsAnsweredAsTheFirst(t *testing.T) {
	d := newDesk(t)
	at := d.propose()
	first := d.accept(at, `{}`, "Idempotency-Key", "accept 1")
	again := d.accept(at, `{}`, "Idempotency-Key", "accept 1")
	if first.Code != http.StatusOK || again.Code != http.StatusOK || again.Header().Get("Idempotent-Replayed") != "true" || first.Body.String() != again.Body.String() {
		t.Errorf("%d %d %s", first.Code, again.Code, again.Body)
	}
	kept := d.Post("/v1/placements", d.ask(`"store":true,`), apitest.With(d.Key, apitest.Idempotency("keep"))...)
	same := d.Post("/v1/placements", d.ask(`"store":true,`), apitest.With(d.Key, apitest.Idempotency("keep"))...)
	if kept.Header().Get("Location") != same.Header().Get("Location") || same.Header().Get("Idempotent-Replayed") != "true" {
		t.Errorf("%d %d", kept.Code, same.Code)
	}
}

func TestOfTwoWhoAcceptAtOnceOneDoes(t *testing.T) {
	d := newDesk(t)
	for range 5 {
		harbour := d.Tank(`{"tank":{"size":"180x60x60cm"}}`)
		at := d.Post("/v1/placements", `{"store":true,"incoming":[{"species":"oscar","count":1}],"tanks":[{"id":"`+path.Base(harbour)+`"}]}`, d.Key...).Header().Get("Location")
		codes := make([]int, 4)
		var all sync.WaitGroup
		for i := range codes {
			body := []string{`{}`, `{"arrivals":[0]}`}[i%2]
			all.Go(func() { codes[i] = d.accept(at, body).Code })
		}
		all.Wait()
		slices.Sort(codes)
		if !slices.Equal(codes, []int{200, 409, 409, 409}) || !slices.Equal(d.kinds(harbour), []string{`["astronotus-ocellatus",1]`}) {
			t.Fatalf("%v: %v", codes, d.kinds(harbour))
		}
	}
}

// Two proposals for one tank: what is accepted of one makes the other out of date, also when both are accepted at once.
func TestOfTwoProposalsForOneTankOneIsAccepted(t *testing.T) {
	d := newDesk(t)
	first, second := d.propose(), d.propose()
	codes := make([]int, 2)
	var all sync.WaitGroup
	for i, at := range []string{first, second} {
		all.Go(func() { codes[i] = d.accept(at, `{"arrivals":[0]}`).Code })
	}
	all.Wait()
	slices.Sort(codes)
	if !slices.Equal(codes, []int{200, 409}) || len(d.kinds(d.harbour)) != 1 {
		t.Errorf("%v %v", codes, d.kinds(d.harbour))
	}
}

func TestAProposalIsRefusedAfterAChangeAndSaysWhichOne(t *testing.T) {
	for name, c := range map[string]struct {
		change func(*desk)
		says   string
	}{
		"a resident more":       {func(d *desk) { d.Resident(d.mill, `{"species":"guppy","count":3}`) }, "Mill Lane has changed since the proposal: guppies, none then and 3 now."},
		"another number":        {func(d *desk) { d.Change(http.MethodPatch, d.line(), `{"count":9}`, "*") }, "Mill Lane has changed since the proposal: neon tetras, 12 then and 9 now."},
		"a resident changed":    {func(d *desk) { d.Change(http.MethodPatch, d.line(), `{"length_cm":2}`, "*") }, "Mill Lane has changed since the proposal: lines of its residents were changed."},
		"nobody left":           {func(d *desk) { d.Change(http.MethodDelete, d.line(), "", "*") }, "Mill Lane has changed since the proposal: neon tetras, 12 then and none now."},
		"another wish":          {func(d *desk) { d.Change(http.MethodPatch, d.mill, `{"wishes":null}`, "*") }, "Mill Lane has changed since the proposal: the tank or its wishes were described anew."},
		"the tank gone":         {func(d *desk) { d.Change(http.MethodDelete, d.mill, "", "*") }, "Mill Lane is gone: it was deleted."},
		"water that kills them": {func(d *desk) { d.Post(d.mill+"/readings", `{"temperature_c":36}`, d.Key...) }, "Mill Lane would be on hold by now. Hold: "},
	} {
		t.Run(name, func(t *testing.T) {
			d := newDesk(t)
			at := d.propose()
			c.change(d)
			a := d.accept(at, `{}`)
			apitest.WantProblem(t, name, a, http.StatusConflict, respond.PlacementOutdated)
			if p := apitest.ProblemIn(t, a); !strings.HasPrefix((*p.Errors)[0].Detail, c.says) {
				t.Errorf("%s", a.Body)
			}
			if len(d.kinds(d.harbour)) != 0 {
				t.Error("half of it was written")
			}
			if a := d.accept(at, `{"arrivals":[0]}`); a.Code != http.StatusOK {
				t.Errorf("the part that goes elsewhere: %d %s", a.Code, a.Body)
			}
		})
	}
}

// line is the path of the first line in Mill Lane.
func (d *desk) line() string {
	d.T.Helper()
	return d.mill + "/residents/" + apitest.Body[gen.ResidentsPage](d.T, d.Get(d.mill+"/residents", d.Key...), http.StatusOK).Residents[0].Id
}

func TestWhatCannotBeAcceptedIsNamed(t *testing.T) {
	d := newDesk(t)
	ask := `{"store":true,"incoming":[{"species":"oscar","count":1},{"species":"danio-rerio","count":8}],"tanks":[{"tank":{"size":"180x60x60cm"}},{"id":"` + path.Base(d.mill) + `","wishes":{"not_wanted":["danio-rerio"]}}]}`
	at := d.Post("/v1/placements", ask, d.Key...).Header().Get("Location")
	a := d.accept(at, `{"arrivals":[0,1,0,2]}`)
	apitest.WantProblem(t, "all of it", a, http.StatusUnprocessableEntity, respond.ImpossibleValue)
	var pointers []string
	for _, e := range *apitest.ProblemIn(t, a).Errors {
		pointers = append(pointers, e.Pointer)
	}
	if !slices.Equal(pointers, []string{"/arrivals/0", "/arrivals/1", "/arrivals/2", "/arrivals/3"}) {
		t.Errorf("%v %s", pointers, a.Body)
	}
	apitest.WantProblem(t, "nothing for stored tanks", d.accept(at, `{}`), http.StatusUnprocessableEntity, respond.ImpossibleValue)
	apitest.WantProblem(t, "no list", d.accept(at, `{"arrivals":[]}`), http.StatusUnprocessableEntity, respond.ImpossibleValue)
	apitest.WantProblem(t, "half an arrival", d.accept(at, `{"arrivals":[0.5]}`), http.StatusBadRequest, respond.MalformedBody)
	if len(d.kinds(d.mill)) != 1 {
		t.Errorf("%v", d.kinds(d.mill))
	}
}

func TestAcceptingKeepsToQuotasAndToTheSizeOfATank(t *testing.T) {
	d := newDesk(t)
	at := d.propose()
	admin := apitest.With(d.Service.Key("there", auth.Admin), []string{"Content-Type", "application/json"})
	quotas := func(body string) {
		t.Helper()
		if a := d.Do(http.MethodPut, "/v1/organizations/"+d.Organizations["here"].String()+"/quotas", body, admin...); a.Code != http.StatusOK {
			t.Fatalf("%d %s", a.Code, a.Body)
		}
	}
	quotas(`{"residents":2,"recorded_bytes":0}`)
	apitest.WantProblem(t, "one line too many", d.accept(at, `{}`), http.StatusConflict, respond.QuotaReached)
	if len(d.kinds(d.harbour))+len(d.kinds(d.mill)) != 1 {
		t.Error("half of it was written")
	}
	apitest.WantProblem(t, "no room for proposals", d.Post("/v1/placements", d.ask(`"store":true,`), d.Key...), http.StatusConflict, respond.QuotaReached)
	quotas(`{"residents":3}`)
	if a := d.accept(at, `{}`); a.Code != http.StatusOK {
		t.Errorf("%d %s", a.Code, a.Body)
	}
}
