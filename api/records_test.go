package api

import (
	"context"
	"encoding/json"
	"net/http"
	"reflect"
	"strings"
	"testing"

	"commensal/api/gen"
	"commensal/internal/auth"
	"commensal/internal/stocking"
	"commensal/internal/store"

	"github.com/jackc/pgx/v5"
)

// oscarJoins is a list on hold, spelt in the ways of the trade.
const oscarJoins = `{"tank":{"size":"48x18x21in","temperature_c":"78F","ph":7,"gh_dh":"178ppm","cover":0.5,"lid":true,"substrate":"sand"},` +
	`"residents":[{"species":"Neon Tetra","count":12},{"species":"guppy","sex":"male","length_cm":"1.2in","age_months":4}],` +
	`"incoming":[{"species":"oscar","length_cm":"3in","disposition":"calmer","months_observed":6,"weight":2}],"keep":["neon tetra"],"wanted_level":"low"}`

// questionOf reads a body of POST /v1/checks.
func questionOf(t testing.TB, text string) *question {
	t.Helper()
	var in gen.CheckRequest
	if err := json.Unmarshal([]byte(text), &in); err != nil {
		t.Fatal(err)
	}
	book := few(t)
	stock, err := readCheck(book.Snapshot, &in)
	if err != nil {
		t.Fatal(err)
	}
	return &question{book, stock, len(in.Residents), false}
}

// onHold is a record of a check on hold.
func onHold(t testing.TB) store.CheckRecord {
	t.Helper()
	c, err := (&Server{cfg: Config{Version: "test"}}).recordOf(questionOf(t, oscarJoins))
	if err != nil || c.Decision != "hold" {
		t.Fatalf("%+v, %v", c, err)
	}
	c.Key = "aaaaaaaaaaaaaaaa"
	return c
}

// desk is a house with keys of a till, which records, and of an office, which reads.
type desk struct {
	*house
	till, office []string
}

func newDesk(t testing.TB, change ...func(*Config)) *desk {
	t.Helper()
	h := newHouse(t, change...)
	return &desk{h, h.key("here", auth.ChecksWrite), h.key("here", auth.ChecksRead)}
}

// record records a check and returns it.
func (d *desk) record(list string, headers ...string) gen.CheckRecord {
	d.t.Helper()
	return body[gen.CheckRecord](d.t, d.post("/v1/checks", recorded(list), with(d.till, headers)...), http.StatusCreated)
}

func TestARecordIsWhatWasAskedAndAnswered(t *testing.T) {
	d := newDesk(t)
	public := d.post("/v1/checks?units=us", oscarJoins)
	a := d.post("/v1/checks?units=us", recorded(`{"external_ref":"ticket 12",`+oscarJoins[1:]), d.till...)
	made := body[gen.CheckRecord](t, a, http.StatusCreated)
	if a.Header().Get("Location") != "/v1/checks/"+made.Id || a.Header().Get("ETag") != `"1"` {
		t.Errorf("headers: %v", a.Header())
	}
	if string(made.Answer)+"\n" != public.Body.String() {
		t.Errorf("the answer on record is another one than the public one:\n%s\n%s", made.Answer, public.Body)
	}
	if made.Decision != gen.Hold || made.CatalogueRevision != 7 || made.ProgramVersion != "test" || *made.ExternalRef != "ticket 12" || made.Tank != nil ||
		made.Key != strings.Split(d.till[1], "_")[1] || len(made.Overrides) != 0 {
		t.Errorf("%+v", made)
	}
	const understood = `{"incoming":[{"disposition":"calmer","length_cm":7.62,"months_observed":6,"species":"astronotus-ocellatus","weight":2}],` +
		`"residents":[{"count":12,"keep":true,"species":"paracheirodon-innesi"},{"age_months":4,"length_cm":3.05,"sex":"male","species":"poecilia-reticulata"}],`
	if !strings.HasPrefix(string(made.Input), understood) || !strings.Contains(string(made.Input), `"length_cm":121.92,"lid":true`) || !strings.HasSuffix(string(made.Input), `"units":"us","wanted_level":"low"}`) {
		t.Errorf("understood: %s", made.Input)
	}
	read := d.get("/v1/checks/"+made.Id, d.office...)
	if read.Body.String() != a.Body.String() {
		t.Errorf("read: %s\nmade: %s", read.Body, a.Body)
	}
	if again := d.get("/v1/checks/"+made.Id, with(d.office, []string{"If-None-Match", `"1"`})...); again.Code != http.StatusNotModified {
		t.Errorf("with its tag: %d", again.Code)
	}
}

// What is recorded, read again, is the list that was judged.
func TestARecordedListIsTheListThatWasJudged(t *testing.T) {
	for _, text := range []string{
		oscarJoins, `{"residents":[{"species":"guppy"}]}`, `{"residents":[],"incoming":[{"species":"guppy","disposition":"fiercer"}],"tank":{"volume_l":"55gal"}}`,
		`{"residents":[{"species":"guppy","count":3}],"tank":{"length_cm":"4ft","width_cm":"1.5ft","salinity_ppt":"1.005sg","temperature_c":"113F","turnover_per_hour":3.3,"weekly_change":0,"filter_mature":false,"planted":true,"source_nitrate_mg_l":0,"cover":0}}`,
		`{"residents":[{"species":"guppy","age_months":0,"months_observed":3,"weight":0.001,"keep":false}],"tank":{}}`,
	} {
		q := questionOf(t, text)
		if q.stock.Tank != nil {
			q.stock.Tank.Swings.Days = 7
			q.stock.Tank.Swings.Of[1] = stocking.Swing{Low: 6.1, High: 7.3, Known: true}
		}
		in := q.understood()
		encoded, err := json.Marshal(in)
		if err != nil {
			t.Fatal(err)
		}
		if err := validate("/components/schemas/RecordedInput", encoded); err != nil {
			t.Errorf("%s: %v", encoded, err)
		}
		var decoded gen.RecordedInput
		if err := json.Unmarshal(encoded, &decoded); err != nil {
			t.Fatal(err)
		}
		again, err := asked(q.book, &decoded)
		if err != nil || !reflect.DeepEqual(again, q) {
			t.Errorf("%s\nwas %+v\nand is %+v (%v)", text, q.stock, again, err)
		}
	}
}

func TestRecordingNeedsAKeyAndCheckingDoesNot(t *testing.T) {
	d := newDesk(t)
	wantProblem(t, "no key", d.post("/v1/checks", recorded(oscarJoins)), http.StatusUnauthorized, keyMissing)
	wantProblem(t, "no key at all", d.post("/v1/checks", recorded(oscarJoins), "Authorization", "Bearer x"), http.StatusUnauthorized, keyRefused)
	a := d.post("/v1/checks", recorded(oscarJoins), d.office...)
	wantProblem(t, "a key that only reads", a, http.StatusForbidden, scopeMissing)
	if !strings.Contains(a.Header().Get("WWW-Authenticate"), `scope="checks:write"`) {
		t.Errorf("challenge %q", a.Header().Get("WWW-Authenticate"))
	}
	for _, headers := range [][]string{nil, d.office, {"Authorization", "Bearer x"}} {
		for _, list := range []string{oscarJoins, `{"record":false,` + oscarJoins[1:]} {
			if a := d.post("/v1/checks", list, headers...); a.Code != http.StatusOK {
				t.Errorf("with %v: %d %s", headers, a.Code, a.Body)
			}
		}
	}
	bare := ask(t, serverOf(t, few(t)))
	wantProblem(t, "without a database", bare.post("/v1/checks", recorded(oscarJoins), d.till...), http.StatusServiceUnavailable, databaseAway)
	if a := bare.post("/v1/checks", oscarJoins); a.Code != http.StatusOK {
		t.Errorf("a check without a database: %d", a.Code)
	}
}

func TestEqualChecksAreRecordsOfTheirOwnUnlessTheyAreOneRequest(t *testing.T) {
	d := newDesk(t)
	if a, b := d.record(oscarJoins), d.record(oscarJoins); a.Id == b.Id {
		t.Error("the second check is the first one's record")
	}
	a, b := d.record(oscarJoins, idempotency("sale 1")...), d.record(oscarJoins, idempotency("sale 1")...)
	if a.Id != b.Id {
		t.Error("a repeated request made a second record")
	}
	wantProblem(t, "the key with another list", d.post("/v1/checks", recorded(`{"residents":[{"species":"guppy"}]}`), with(d.till, idempotency("sale 1"))...),
		http.StatusUnprocessableEntity, idempotencyKeyReused)
	if page := body[gen.ChecksPage](t, d.get("/v1/checks", d.office...), http.StatusOK); len(page.Checks) != 3 {
		t.Errorf("%d records", len(page.Checks))
	}
}

func TestARecordWhoseTwinIsUnderWayIsToldToComeAgain(t *testing.T) {
	d := newDesk(t)
	conn, err := pgx.Connect(t.Context(), d.dsn)
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
		VALUES ($1, 'twin', '', sha256(''), now() + interval '1 hour')`, d.org["here"])
	if err != nil {
		t.Fatal(err)
	}
	key := with(d.key("here", auth.TanksRead, auth.ChecksWrite), idempotency("twin"))
	wantProblem(t, "a list", d.post("/v1/checks", recorded(oscarJoins), key...), http.StatusConflict, requestUnderWay)
	tank := "/v1/tanks/" + d.things("here")["tank"]
	wantProblem(t, "a tank", d.post(tank+"/check", `{"record":true}`, key...), http.StatusConflict, requestUnderWay)
}

func TestACheckOfAStoredTankIsRecordedAsTheTankWas(t *testing.T) {
	d := newDesk(t)
	k := &keeper{d.house, d.key("here", auth.TanksRead, auth.TanksWrite, auth.ChecksWrite)}
	tank := k.tank(`{"tank":{"size":"100x40x40cm"},"residents":[{"species":"guppy","count":6}]}`)
	for _, ph := range []string{"6.4", "7.6"} {
		k.post(tank+"/readings", `{"ph":`+ph+`}`, k.key...)
	}
	wantProblem(t, "a key that does not record", k.post(tank+"/check", `{"record":true}`, k.house.key("here", auth.TanksRead)...), http.StatusForbidden, scopeMissing)
	asked := k.post(tank+"/check", `{"incoming":[{"species":"oscar"}]}`, k.key...)
	made := body[gen.CheckRecord](t, k.post(tank+"/check", `{"record":true,"external_ref":"T 7","incoming":[{"species":"oscar"}]}`, k.key...), http.StatusCreated)
	if string(made.Answer)+"\n" != asked.Body.String() || "/v1/tanks/"+*made.Tank != tank || !strings.Contains(string(made.Input), `"swings":{"days":7,"ph":{"high":7.6,"low":6.4}}`) {
		t.Errorf("%s", made.Input)
	}
	if a := k.do(http.MethodDelete, tank, "", with(k.key, []string{"If-Match", "*"})...); a.Code != http.StatusNoContent {
		t.Fatalf("%d %s", a.Code, a.Body)
	}
	if a := k.get("/v1/checks/"+made.Id, d.office...); a.Code != http.StatusOK {
		t.Errorf("with the tank its record is gone: %d", a.Code)
	}
	replayed := body[gen.CheckReplay](t, k.get("/v1/checks/"+made.Id+"/replay", d.office...), http.StatusOK)
	if replayed.Outcome != gen.CheckReplayOutcomeSame {
		t.Errorf("replayed: %+v", replayed)
	}
}
