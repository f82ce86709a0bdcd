package records_test

import (
	"context"
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

func TestARecordIsWhatWasAskedAndAnswered(t *testing.T) {
	d := apitest.NewTill(t)
	public := d.Post("/v1/checks?units=us", fixture.OscarJoins)
	a := d.Post("/v1/checks?units=us", apitest.AsRecord(`{"external_ref":"ticket 12",`+fixture.OscarJoins[1:]), d.Till...)
	made := apitest.Body[gen.CheckRecord](t, a, http.StatusCreated)
	if a.Header().Get("Location") != "/v1/checks/"+made.Id || a.Header().Get("ETag") != `"1"` {
		t.Errorf("headers: %v", a.Header())
	}
	if string(made.Answer)+"\n" != public.Body.String() {
		t.Errorf("the answer on record is another one than the public one:\n%s\n%s", made.Answer, public.Body)
	}
	if made.Decision != gen.Hold || made.CatalogueRevision != 7 || made.ProgramVersion != "test" || *made.ExternalRef != "ticket 12" || made.Tank != nil ||
		made.Key != strings.Split(d.Till[1], "_")[1] || len(made.Overrides) != 0 {
		t.Errorf("%+v", made)
	}
	const understood = `{"incoming":[{"disposition":"calmer","length_cm":7.62,"months_observed":6,"species":"astronotus-ocellatus","weight":2}],` +
		`"residents":[{"count":12,"keep":true,"species":"paracheirodon-innesi"},{"age_months":4,"length_cm":3.05,"sex":"male","species":"poecilia-reticulata"}],`
	if !strings.HasPrefix(string(made.Input), understood) || !strings.Contains(string(made.Input), `"length_cm":121.92,"lid":true`) || !strings.HasSuffix(string(made.Input), `"units":"us","wanted_level":"low"}`) {
		t.Errorf("understood: %s", made.Input)
	}
	read := d.Get("/v1/checks/"+made.Id, d.Office...)
	if read.Body.String() != a.Body.String() {
		t.Errorf("read: %s\nmade: %s", read.Body, a.Body)
	}
	if again := d.Get("/v1/checks/"+made.Id, apitest.With(d.Office, []string{"If-None-Match", `"1"`})...); again.Code != http.StatusNotModified {
		t.Errorf("with its tag: %d", again.Code)
	}
}

func TestRecordingNeedsAKeyAndCheckingDoesNot(t *testing.T) {
	d := apitest.NewTill(t)
	apitest.WantProblem(t, "no key", d.Post("/v1/checks", apitest.AsRecord(fixture.OscarJoins)), http.StatusUnauthorized, respond.KeyMissing)
	apitest.WantProblem(t, "no key at all", d.Post("/v1/checks", apitest.AsRecord(fixture.OscarJoins), "Authorization", "Bearer x"), http.StatusUnauthorized, respond.KeyRefused)
	a := d.Post("/v1/checks", apitest.AsRecord(fixture.OscarJoins), d.Office...)
	apitest.WantProblem(t, "a key that only reads", a, http.StatusForbidden, respond.ScopeMissing)
	if !strings.Contains(a.Header().Get("WWW-Authenticate"), `scope="checks:write"`) {
		t.Errorf("challenge %q", a.Header().Get("WWW-Authenticate"))
	}
	for _, headers := range [][]string{nil, d.Office, {"Authorization", "Bearer x"}} {
		for _, list := range []string{fixture.OscarJoins, `{"record":false,` + fixture.OscarJoins[1:]} {
			if a := d.Post("/v1/checks", list, headers...); a.Code != http.StatusOK {
				t.Errorf("with %v: %d %s", headers, a.Code, a.Body)
			}
		}
	}
	bare := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	apitest.WantProblem(t, "without a database", bare.Post("/v1/checks", apitest.AsRecord(fixture.OscarJoins), d.Till...), http.StatusServiceUnavailable, respond.DatabaseAway)
	if a := bare.Post("/v1/checks", fixture.OscarJoins); a.Code != http.StatusOK {
		t.Errorf("a check without a database: %d", a.Code)
	}
}

func TestEqualChecksAreRecordsOfTheirOwnUnlessTheyAreOneRequest(t *testing.T) {
	d := apitest.NewTill(t)
	if a, b := d.Record(fixture.OscarJoins), d.Record(fixture.OscarJoins); a.Id == b.Id {
		t.Error("the second check is the first one's record")
	}
	a, b := d.Record(fixture.OscarJoins, apitest.Idempotency("sale 1")...), d.Record(fixture.OscarJoins, apitest.Idempotency("sale 1")...)
	if a.Id != b.Id {
		t.Error("a repeated request made a second record")
	}
	apitest.WantProblem(t, "the key with another list", d.Post("/v1/checks", apitest.AsRecord(`{"residents":[{"species":"guppy"}]}`), apitest.With(d.Till, apitest.Idempotency("sale 1"))...),
		http.StatusUnprocessableEntity, respond.IdempotencyKeyReused)
	if page := apitest.Body[gen.ChecksPage](t, d.Get("/v1/checks", d.Office...), http.StatusOK); len(page.Checks) != 3 {
		t.Errorf("%d records", len(page.Checks))
	}
}

func TestARecordWhoseTwinIsUnderWayIsToldToComeAgain(t *testing.T) {
	d := apitest.NewTill(t)
	conn, err := pgx.Connect(t.Context(), d.DSN)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.Background())
	tx, err := conn.Begin(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = tx.Rollback(context.Background()) }()
	_, err = tx.Exec(t.Context(), `INSERT INTO idempotency_records (organization_id, key, operation, body_hash, expires_at)
		VALUES ($1, 'twin', '', sha256(''), now() + interval '1 hour')`, d.Organizations["here"])
	if err != nil {
		t.Fatal(err)
	}
	key := apitest.With(d.Key("here", auth.TanksRead, auth.ChecksWrite), apitest.Idempotency("twin"))
	apitest.WantProblem(t, "a list", d.Post("/v1/checks", apitest.AsRecord(fixture.OscarJoins), key...), http.StatusConflict, respond.RequestUnderWay)
	tank := "/v1/tanks/" + d.Things("here")["tank"]
	apitest.WantProblem(t, "a tank", d.Post(tank+"/check", `{"record":true}`, key...), http.StatusConflict, respond.RequestUnderWay)
}

func TestACheckOfAStoredTankIsRecordedAsTheTankWas(t *testing.T) {
	d := apitest.NewTill(t)
	k := &apitest.TankOwner{Service: d.Service, Key: d.Key("here", auth.TanksRead, auth.TanksWrite, auth.ChecksWrite)}
	tank := k.Tank(`{"tank":{"size":"100x40x40cm"},"residents":[{"species":"guppy","count":6}]}`)
	for _, ph := range []string{"6.4", "7.6"} {
		k.Post(tank+"/readings", `{"ph":`+ph+`}`, k.Key...)
	}
	apitest.WantProblem(t, "a key that does not record", k.Post(tank+"/check", `{"record":true}`, k.Service.Key("here", auth.TanksRead)...), http.StatusForbidden, respond.ScopeMissing)
	asked := k.Post(tank+"/check", `{"incoming":[{"species":"oscar"}]}`, k.Key...)
	made := apitest.Body[gen.CheckRecord](t, k.Post(tank+"/check", `{"record":true,"external_ref":"T 7","incoming":[{"species":"oscar"}]}`, k.Key...), http.StatusCreated)
	if string(made.Answer)+"\n" != asked.Body.String() || "/v1/tanks/"+*made.Tank != tank || !strings.Contains(string(made.Input), `"swings":{"days":7,"ph":{"high":7.6,"low":6.4}}`) {
		t.Errorf("%s", made.Input)
	}
	if a := k.Do(http.MethodDelete, tank, "", apitest.With(k.Key, []string{"If-Match", "*"})...); a.Code != http.StatusNoContent {
		t.Fatalf("%d %s", a.Code, a.Body)
	}
	if a := k.Get("/v1/checks/"+made.Id, d.Office...); a.Code != http.StatusOK {
		t.Errorf("with the tank its record is gone: %d", a.Code)
	}
	replayed := apitest.Body[gen.CheckReplay](t, k.Get("/v1/checks/"+made.Id+"/replay", d.Office...), http.StatusOK)
	if replayed.Outcome != gen.CheckReplayOutcomeSame {
		t.Errorf("replayed: %+v", replayed)
	}
}
