package api

import (
	"context"
	"net/http"
	"strings"
	"testing"
	"time"

	"commensal/api/gen"
	"commensal/internal/auth"

	"github.com/jackc/pgx/v5"
)

const killed = `{"first":"oscar","second":"Neon Tetra","months":0.5,"outcome":"killed","first_count":1,"second_count":12,
	"first_length_cm":"8in","second_length_cm":3,"tank_size":"48x24x24in","observed_on":"2025-02-28"}`

func TestReportsAreFiledReadListedAndRetracted(t *testing.T) {
	h := newHouse(t)
	key := h.key("here", auth.ReportsWrite)
	a := h.post("/v1/reports", killed, key...)
	filed := body[gen.Report](t, a, http.StatusCreated)
	if filed.First != "astronotus-ocellatus" || filed.Second != "paracheirodon-innesi" || filed.Months != 0.5 || filed.Outcome != gen.Killed ||
		*filed.FirstCount != 1 || *filed.SecondCount != 12 || *filed.FirstLengthCm != 20.32 || *filed.SecondLengthCm != 3 ||
		*filed.TankSize != "121.92x60.96x60.96cm" || *filed.ObservedOn != "2025-02-28" || filed.RetractedAt != nil {
		t.Fatalf("%s", a.Body)
	}
	at := a.Header().Get("Location")
	if at != "/v1/reports/"+filed.Id || h.get(at, key...).Body.String() != a.Body.String() {
		t.Errorf("at %q: %s", at, h.get(at, key...).Body)
	}
	least := body[gen.Report](t, h.post("/v1/reports", `{"first":"betta","second":"betta","months":600,"outcome":"fine"}`, key...), http.StatusCreated)
	if least.First != least.Second || least.FirstCount != nil || least.TankSize != nil || least.ObservedOn != nil {
		t.Errorf("%+v", least)
	}
	for range 2 {
		if a := h.do(http.MethodDelete, at, "", key...); a.Code != http.StatusNoContent {
			t.Fatalf("retract: %d %s", a.Code, a.Body)
		}
	}
	retracted := body[gen.Report](t, h.get(at, key...), http.StatusOK)
	if retracted.RetractedAt == nil || retracted.Outcome != gen.Killed {
		t.Errorf("%+v", retracted)
	}
	first := h.get("/v1/reports?limit=1", key...)
	page := body[gen.ReportsPage](t, first, http.StatusOK)
	next, _, _ := strings.Cut(strings.TrimPrefix(first.Header().Get("Link"), "<"), ">")
	rest := body[gen.ReportsPage](t, h.get(next, key...), http.StatusOK)
	if len(page.Reports) != 1 || page.Reports[0].Id != filed.Id || len(rest.Reports) != 1 || rest.Reports[0].Id != least.Id || rest.Next != nil {
		t.Errorf("%+v, then %+v", page, rest)
	}
	for _, text := range []string{"AgAA", *page.Next + "x"} {
		wantProblem(t, "a damaged cursor", h.get("/v1/reports?cursor="+text, key...), http.StatusBadRequest, invalidCursor)
	}
	wantProblem(t, "another's cursor", h.get("/v1/reports?cursor="+*page.Next, h.key("there", auth.ReportsWrite)...), http.StatusBadRequest, invalidCursor)
}

func TestBadReportsAreRefused(t *testing.T) {
	h := newHouse(t)
	key := h.key("here", auth.ReportsWrite)
	const bad, not = http.StatusBadRequest, http.StatusUnprocessableEntity
	for name, c := range map[string]struct {
		with    string // instead of, or beside, what the contract wants
		status  int
		slug    slug
		pointer string
	}{
		"a species nobody knows":       {`"first":"unicornfish of the moon"`, not, unknownSpecies, "/first"},
		"a name of several":            {`"second":"tetra"`, not, ambiguousSpecies, "/second"},
		"a name of nothing":            {`"second":"???"`, not, impossibleValue, "/second"},
		"an outcome of its own":        {`"outcome":"eaten"`, bad, malformedBody, "/outcome"},
		"months below nothing":         {`"months":-1`, not, impossibleValue, "/months"},
		"a lifetime of fifty years":    {`"months":601`, not, impossibleValue, "/months"},
		"months in words":              {`"months":"six"`, bad, malformedBody, "/months"},
		"no fish":                      {`"first_count":0`, not, impossibleValue, "/first_count"},
		"half a fish":                  {`"first_count":1.5`, bad, malformedBody, "/first_count"},
		"a length without end":         {`"first_length_cm":"9km"`, bad, malformedBody, "/first_length_cm"},
		"a fish of no length":          {`"second_length_cm":0`, not, impossibleValue, "/second_length_cm"},
		"a tank of two sides":          {`"tank_size":"60x30cm"`, bad, malformedBody, "/tank_size"},
		"a tank of 4 cm":               {`"tank_size":"4x30x30cm"`, not, impossibleValue, "/tank_size"},
		"a day to come":                {`"observed_on":"2999-01-01"`, not, impossibleValue, "/observed_on"},
		"a day before all tanks":       {`"observed_on":"1949-12-31"`, not, impossibleValue, "/observed_on"},
		"a day that is none":           {`"observed_on":"2025-02-30"`, bad, malformedBody, "/observed_on"},
		"a moment instead of a day":    {`"observed_on":"2025-02-28T12:00:00Z"`, bad, malformedBody, "/observed_on"},
		"the name of a keeper":         {`"keeper":"somebody"`, bad, malformedBody, "/keeper"},
		"two wrong things, both named": {`"tank_size":"4x30x30cm","observed_on":"2999-01-01"`, not, impossibleValue, "/tank_size"},
	} {
		field, _, _ := strings.Cut(c.with, ":")
		fields := []string{c.with}
		for _, f := range []string{`"first":"oscar"`, `"second":"guppy"`, `"months":6`, `"outcome":"fine"`} {
			if !strings.HasPrefix(f, field) {
				fields = append(fields, f)
			}
		}
		a := h.post("/v1/reports", "{"+strings.Join(fields, ",")+"}", key...)
		wantProblem(t, name, a, c.status, c.slug)
		if p := problemIn(t, a); p.Errors == nil || (*p.Errors)[0].Pointer != c.pointer {
			t.Errorf("%s: want %s: %s", name, c.pointer, a.Body)
		}
	}
	wantProblem(t, "nothing", h.post("/v1/reports", `{}`, key...), bad, malformedBody)
	if page := body[gen.ReportsPage](t, h.get("/v1/reports", key...), http.StatusOK); len(page.Reports) != 0 {
		t.Errorf("something was written: %+v", page)
	}
}

// Who would file or retract what another request holds is told to come again.
func TestReportsDoNotWaitForEver(t *testing.T) {
	h := newHouse(t)
	ours, key := h.things("here"), h.key("here", auth.ReportsWrite)
	conn, err := pgx.Connect(t.Context(), h.dsn)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.Background())
	tx, err := conn.Begin(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = tx.Rollback(context.Background()) }()
	if _, err := tx.Exec(t.Context(), `SELECT 1 FROM reports FOR UPDATE`); err != nil {
		t.Fatal(err)
	}
	if _, err := tx.Exec(t.Context(), `INSERT INTO idempotency_records (organization_id, key, operation, body_hash, expires_at)
		VALUES ($1, 'twin', '', sha256(''), $2)`, h.org["here"], time.Now().Add(time.Hour)); err != nil {
		t.Fatal(err)
	}
	wantProblem(t, "retract", h.do(http.MethodDelete, "/v1/reports/"+ours["report"], "", key...), http.StatusConflict, requestUnderWay)
	wantProblem(t, "file", h.post("/v1/reports", killed, with(key, idempotency("twin"))...), http.StatusConflict, requestUnderWay)
}
