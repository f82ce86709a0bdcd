package records_test

import (
	"context"
	"encoding/json"
	"net/http"
	"strings"
	"testing"

	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/internal/auth"

	"github.com/jackc/pgx/v5"
)

func noteOutcome(d *apitest.Till, id, patch, match string) apitest.Answer {
	return d.Do(http.MethodPatch, "/v1/checks/"+id, patch, apitest.With(d.Till, []string{"If-Match", match, "Content-Type", "application/merge-patch+json"})...)
}

func TestWhatBecameOfACheckIsNotedBesideIt(t *testing.T) {
	d := apitest.NewTill(t)
	made := d.Record(fixture.OscarJoins)
	for _, step := range []struct{ patch, match, outcome, reason, tag string }{
		{`{"outcome":"sold"}`, `"1"`, "sold", "", `"2"`},
		{`{"outcome_reason":"  Knew what he was doing. "}`, `"2"`, "sold", "Knew what he was doing.", `"3"`},
		{`{"outcome":"returned"}`, `*`, "returned", "", `"4"`},
		{`{"outcome":"returned","outcome_reason":"Chased the guppies."}`, `"4"`, "returned", "Chased the guppies.", `"5"`},
		{`{"outcome":"returned"}`, `"5"`, "returned", "Chased the guppies.", `"6"`},
		{`{"outcome":null}`, `"6"`, "", "", `"7"`},
		{`{}`, `"7"`, "", "", `"8"`},
	} {
		a := noteOutcome(d, made.Id, step.patch, step.match)
		noted := apitest.Body[gen.RecordedCheck](t, a, http.StatusOK)
		outcome, reason := "", ""
		if noted.Outcome != nil {
			outcome = string(*noted.Outcome)
			if noted.OutcomeAt == nil || noted.OutcomeAt.Before(noted.DecidedAt) || *noted.OutcomeKey != noted.Key {
				t.Errorf("%s: %+v", step.patch, noted)
			}
		}
		if noted.OutcomeReason != nil {
			reason = *noted.OutcomeReason
		}
		if outcome != step.outcome || reason != step.reason || a.Header().Get("ETag") != step.tag {
			t.Errorf("%s: %q, %q, %s", step.patch, outcome, reason, a.Header().Get("ETag"))
		}
		read := d.Get("/v1/checks/"+made.Id, d.Office...)
		whole := apitest.Body[gen.CheckRecord](t, read, http.StatusOK)
		if read.Header().Get("ETag") != step.tag || string(whole.Answer) != string(made.Answer) || string(whole.Input) != string(made.Input) || (whole.Outcome == nil) != (outcome == "") {
			t.Errorf("%s: the record is read as %+v", step.patch, whole)
		}
	}
	apitest.WantProblem(t, "on top of another state", noteOutcome(d, made.Id, `{"outcome":"sold"}`, `"1"`), http.StatusPreconditionFailed, respond.PreconditionFailed)
	apitest.WantProblem(t, "a key that reads", d.Do(http.MethodPatch, "/v1/checks/"+made.Id, `{"outcome":"sold"}`,
		apitest.With(d.Office, []string{"If-Match", "*", "Content-Type", "application/merge-patch+json"})...), http.StatusForbidden, respond.ScopeMissing)
	apitest.WantProblem(t, "whatever the state is", d.Do(http.MethodPatch, "/v1/checks/"+made.Id, `{"outcome":"sold"}`,
		apitest.With(d.Till, []string{"Content-Type", "application/merge-patch+json"})...), http.StatusPreconditionRequired, respond.PreconditionRequired)
	for patch, want := range map[string]int{
		`{"outcome":"given"}`:                                                    400,
		`{"outcome":7}`:                                                          400,
		`{"decision":"proceed"}`:                                                 400,
		`{"outcome_reason":"Because."}`:                                          422,
		`{"outcome":"sold","outcome_reason":""}`:                                 422,
		`{"outcome":"sold","outcome_reason":" "}`:                                422,
		`{"outcome":"sold","outcome_reason":"two\nlines"}`:                       422,
		`{"outcome":"sold","outcome_reason":"` + strings.Repeat("ä", 501) + `"}`: 422,
	} {
		if a := noteOutcome(d, made.Id, patch, "*"); a.Code != want {
			t.Errorf("%s: %d %s", patch, a.Code, a.Body)
		}
	}
	if now := apitest.Body[gen.CheckRecord](t, d.Get("/v1/checks/"+made.Id, d.Office...), http.StatusOK); now.Outcome != nil {
		t.Errorf("a refused patch left %v", *now.Outcome)
	}
}

func TestWhoNotesWhileAnotherIsAtWorkOnTheRecordIsToldToComeAgain(t *testing.T) {
	d := apitest.NewTill(t)
	made := d.Record(fixture.OscarJoins)
	conn, err := pgx.Connect(t.Context(), d.DSN)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.Background())
	if _, err := conn.Exec(t.Context(), `SELECT pg_advisory_lock(hashtextextended('override ' || $1::text, 0))`, made.Id); err != nil {
		t.Fatal(err)
	}
	apitest.WantProblem(t, "an outcome", noteOutcome(d, made.Id, `{"outcome":"sold"}`, "*"), http.StatusConflict, respond.RequestUnderWay)
}

func TestRecordsAreFoundByOverrideAndOutcome(t *testing.T) {
	d := apitest.NewTill(t)
	a, b := d.Record(fixture.OscarJoins), d.Record(fixture.OscarJoins)
	d.Post("/v1/checks/"+a.Id+"/override", secondTank, d.Till...)
	noteOutcome(d, b.Id, `{"outcome":"not_sold"}`, "*")
	for query, want := range map[string]string{"overridden=true": a.Id, "overridden=false": b.Id, "outcome=not_sold": b.Id, "outcome=none": a.Id, "overridden=true&outcome=not_sold": ""} {
		page := apitest.Body[gen.ChecksPage](t, d.Get("/v1/checks?"+query, d.Office...), http.StatusOK)
		exported := d.Get("/v1/checks/export?"+query, d.Office...).Body.String()
		found := ""
		for _, c := range page.Checks {
			found += c.Id
		}
		if found != want || strings.Count(exported, "\n") != len(page.Checks) || !strings.Contains(exported, want) {
			t.Errorf("%s: listed %s, exported %s, want %s", query, found, exported, want)
		}
	}
	next := *apitest.Body[gen.ChecksPage](t, d.Get("/v1/checks?limit=1&decision=hold", d.Office...), http.StatusOK).Next
	apitest.WantProblem(t, "a cursor under another filter", d.Get("/v1/checks?decision=hold&overridden=true&cursor="+next, d.Office...), http.StatusBadRequest, respond.InvalidCursor)
	apitest.WantProblem(t, "an outcome that is none", d.Get("/v1/checks?outcome=lost", d.Office...), http.StatusBadRequest, respond.MalformedParameter)
	apitest.WantProblem(t, "neither yes nor no", d.Get("/v1/checks/export?overridden=maybe", d.Office...), http.StatusBadRequest, respond.MalformedParameter)
}

func TestANumberThatMustBeOnOneRecordLeadsToTheRecordThatHasIt(t *testing.T) {
	d := apitest.NewTill(t)
	const sale = `"external_ref":"sale 7","external_ref_unique":true,`
	once := apitest.AsRecord("{" + sale + fixture.OscarJoins[1:])
	key := apitest.With(d.Till, apitest.Idempotency("sale 7"))
	first := apitest.Body[gen.CheckRecord](t, d.Post("/v1/checks", once, key...), http.StatusCreated)
	if again := apitest.Body[gen.CheckRecord](t, d.Post("/v1/checks", once, key...), http.StatusCreated); again.Id != first.Id {
		t.Error("the repeated request is not the first one's record")
	}
	k := &apitest.TankOwner{Service: d.Service, Key: d.Key("here", auth.TanksRead, auth.TanksWrite, auth.ChecksWrite)}
	tank := k.Tank(`{"tank":{"size":"100x40x40cm"},"residents":[{"species":"guppy","count":6}]}`)
	for name, a := range map[string]apitest.Answer{"a list": d.Post("/v1/checks", once, d.Till...), "a tank": k.Post(tank+"/check", `{`+sale+`"record":true}`, k.Key...)} {
		apitest.WantProblem(t, name, a, http.StatusConflict, respond.AlreadyExists)
		var p gen.Problem
		if err := json.Unmarshal(a.Body.Bytes(), &p); err != nil || p.Existing == nil || *p.Existing != "/v1/checks/"+first.Id || (*p.Errors)[0].Pointer != "/external_ref" {
			t.Errorf("%s: %s (%v)", name, a.Body, err)
		}
	}
	d.Record(`{"external_ref":"sale 7",` + fixture.OscarJoins[1:]) // who does not ask for it may use it again
	apitest.WantProblem(t, "unique and none given", d.Post("/v1/checks", apitest.AsRecord(`{"external_ref_unique":true,`+fixture.OscarJoins[1:]), d.Till...),
		http.StatusUnprocessableEntity, respond.ImpossibleValue)
	if page := apitest.Body[gen.ChecksPage](t, d.Get("/v1/checks", d.Office...), http.StatusOK); len(page.Checks) != 2 {
		t.Errorf("%d records", len(page.Checks))
	}
}

func TestARecordInBriefIsTheShortFormOfWhatWasDecided(t *testing.T) {
	d := apitest.NewTill(t)
	brief := strings.Replace(fixture.OscarJoins, "{", `{"detail":"brief",`, 1)
	public := apitest.Body[gen.BriefCheck](t, d.Post("/v1/checks", brief), http.StatusOK)
	a := d.Post("/v1/checks", apitest.AsRecord(brief), d.Till...)
	made := apitest.Body[gen.BriefRecord](t, a, http.StatusCreated)
	want, _ := json.Marshal(public)
	got, _ := json.Marshal(made.Answer)
	if string(got) != string(want) || a.Header().Get("ETag") != `"1"` || a.Header().Get("Location") != "/v1/checks/"+made.Id || a.Header().Get("Vary") != "Accept" {
		t.Errorf("%v\n%s\nwithout a record: %s", a.Header(), got, want)
	}
	whole := apitest.Body[gen.CheckRecord](t, d.Get("/v1/checks/"+made.Id, d.Office...), http.StatusOK)
	if !strings.Contains(string(whole.Answer), `"pairings":[{`) {
		t.Errorf("what is kept is not whole: %s", whole.Answer)
	}
	if read := d.Get("/v1/checks/"+made.Id+"?detail=brief", d.Office...); read.Body.String() != a.Body.String() {
		t.Errorf("read in brief: %s\nmade: %s", read.Body, a.Body)
	}
}

func TestARecordComesAsASlipWithItsNumberAndWhatBecameOfIt(t *testing.T) {
	d := apitest.NewTill(t)
	text := []string{"Accept", "text/plain"}
	made := d.Post("/v1/checks", apitest.AsRecord(`{"external_ref":"sale 9",`+fixture.OscarJoins[1:]), apitest.With(d.Till, text)...)
	id := strings.TrimPrefix(made.Header().Get("Location"), "/v1/checks/")
	public := d.Post("/v1/checks", fixture.OscarJoins, text...)
	slip := made.Body.String()
	if made.Code != http.StatusCreated || made.Header().Get("Content-Type") != respond.TextType || made.Header().Get("ETag") != `"1"` ||
		!strings.HasPrefix(slip, public.Body.String()) || !strings.Contains(slip, id) || !strings.Contains(slip, "REF sale 9\n") {
		t.Errorf("%d %v\n%s", made.Code, made.Header(), slip)
	}
	d.Post("/v1/checks/"+id+"/override", secondTank, d.Till...)
	noteOutcome(d, id, `{"outcome":"not_sold","outcome_reason":"Took danios."}`, "*")
	read := d.Get("/v1/checks/"+id, apitest.With(d.Office, text)...).Body.String()
	for _, line := range []string{"\nLET PASS ", "\nNOT SOLD\n  Took danios.\n"} {
		if !strings.Contains(read, line) {
			t.Errorf("no %q in\n%s", line, read)
		}
	}
	for line := range strings.Lines(read) {
		if len([]rune(line)) > 43 {
			t.Errorf("%q is too long for a slip", line)
		}
	}
	k := &apitest.TankOwner{Service: d.Service, Key: d.Key("here", auth.TanksRead, auth.TanksWrite, auth.ChecksWrite)}
	tank := k.Tank(`{"tank":{"size":"100x40x40cm"},"residents":[{"species":"guppy","count":6}]}`)
	if a := k.Post(tank+"/check", `{"record":true}`, apitest.With(k.Key, text)...); a.Code != http.StatusCreated || !strings.Contains(a.Body.String(), "\nRECORD") {
		t.Errorf("of a tank: %d %s", a.Code, a.Body)
	}
}
