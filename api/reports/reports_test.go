package reports_test

import (
	"context"
	"net/http"
	"strings"
	"testing"
	"time"

	"commensal/api/apitest"
	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/internal/auth"

	"github.com/jackc/pgx/v5"
)

func TestReportsAreFiledReadListedAndRetracted(t *testing.T) {
	h := apitest.NewService(t)
	key := h.Key("here", auth.ReportsWrite)
	a := h.Post("/v1/reports", apitest.KilledReport, key...)
	filed := apitest.Body[gen.Report](t, a, http.StatusCreated)
	if filed.First != "astronotus-ocellatus" || filed.Second != "paracheirodon-innesi" || filed.Months != 0.5 || filed.Outcome != gen.Killed ||
		*filed.FirstCount != 1 || *filed.SecondCount != 12 || *filed.FirstLengthCm != 20.32 || *filed.SecondLengthCm != 3 ||
		*filed.TankSize != "121.92x60.96x60.96cm" || *filed.ObservedOn != "2025-02-28" || filed.RetractedAt != nil {
		t.Fatalf("%s", a.Body)
	}
	at := a.Header().Get("Location")
	if at != "/v1/reports/"+filed.Id || h.Get(at, key...).Body.String() != a.Body.String() {
		t.Errorf("at %q: %s", at, h.Get(at, key...).Body)
	}
	least := apitest.Body[gen.Report](t, h.Post("/v1/reports", `{"first":"betta","second":"betta","months":600,"outcome":"fine"}`, key...), http.StatusCreated)
	if least.First != least.Second || least.FirstCount != nil || least.TankSize != nil || least.ObservedOn != nil {
		t.Errorf("%+v", least)
	}
	for range 2 {
		if a := h.Do(http.MethodDelete, at, "", key...); a.Code != http.StatusNoContent {
			t.Fatalf("retract: %d %s", a.Code, a.Body)
		}
	}
	retracted := apitest.Body[gen.Report](t, h.Get(at, key...), http.StatusOK)
	if retracted.RetractedAt == nil || retracted.Outcome != gen.Killed {
		t.Errorf("%+v", retracted)
	}
	first := h.Get("/v1/reports?limit=1", key...)
	page := apitest.Body[gen.ReportsPage](t, first, http.StatusOK)
	next, _, _ := strings.Cut(strings.TrimPrefix(first.Header().Get("Link"), "<"), ">")
	rest := apitest.Body[gen.ReportsPage](t, h.Get(next, key...), http.StatusOK)
	if len(page.Reports) != 1 || page.Reports[0].Id != filed.Id || len(rest.Reports) != 1 || rest.Reports[0].Id != least.Id || rest.Next != nil {
		t.Errorf("%+v, then %+v", page, rest)
	}
	for _, text := range []string{"AgAA", *page.Next + "x"} {
		apitest.WantProblem(t, "a damaged cursor", h.Get("/v1/reports?cursor="+text, key...), http.StatusBadRequest, respond.InvalidCursor)
	}
	apitest.WantProblem(t, "another's cursor", h.Get("/v1/reports?cursor="+*page.Next, h.Key("there", auth.ReportsWrite)...), http.StatusBadRequest, respond.InvalidCursor)
}

func TestBadReportsAreRefused(t *testing.T) {
	h := apitest.NewService(t)
	key := h.Key("here", auth.ReportsWrite)
	const bad, not = http.StatusBadRequest, http.StatusUnprocessableEntity
	for name, c := range map[string]struct {
		with    string // instead of, or beside, what the contract wants
		status  int
		slug    respond.Slug
		pointer string
	}{
		"a species nobody knows":       {`"first":"unicornfish of the moon"`, not, respond.UnknownSpecies, "/first"},
		"a name of several":            {`"second":"tetra"`, not, respond.AmbiguousSpecies, "/second"},
		"a name of nothing":            {`"second":"???"`, not, respond.ImpossibleValue, "/second"},
		"an outcome of its own":        {`"outcome":"eaten"`, bad, respond.MalformedBody, "/outcome"},
		"months below nothing":         {`"months":-1`, not, respond.ImpossibleValue, "/months"},
		"a lifetime of fifty years":    {`"months":601`, not, respond.ImpossibleValue, "/months"},
		"months in words":              {`"months":"six"`, bad, respond.MalformedBody, "/months"},
		"no fish":                      {`"first_count":0`, not, respond.ImpossibleValue, "/first_count"},
		"half a fish":                  {`"first_count":1.5`, bad, respond.MalformedBody, "/first_count"},
		"a length without end":         {`"first_length_cm":"9km"`, bad, respond.MalformedBody, "/first_length_cm"},
		"a fish of no length":          {`"second_length_cm":0`, not, respond.ImpossibleValue, "/second_length_cm"},
		"a tank of two sides":          {`"tank_size":"60x30cm"`, bad, respond.MalformedBody, "/tank_size"},
		"a tank of 4 cm":               {`"tank_size":"4x30x30cm"`, not, respond.ImpossibleValue, "/tank_size"},
		"a day to come":                {`"observed_on":"2999-01-01"`, not, respond.ImpossibleValue, "/observed_on"},
		"a day before all tanks":       {`"observed_on":"1949-12-31"`, not, respond.ImpossibleValue, "/observed_on"},
		"a day that is none":           {`"observed_on":"2025-02-30"`, bad, respond.MalformedBody, "/observed_on"},
		"a time without a zone":        {`"observed_on":"2025-02-28T12:00:00"`, bad, respond.MalformedBody, "/observed_on"},
		"the name of a keeper":         {`"keeper":"somebody"`, bad, respond.MalformedBody, "/keeper"},
		"two wrong things, both named": {`"tank_size":"4x30x30cm","observed_on":"2999-01-01"`, not, respond.ImpossibleValue, "/tank_size"},
	} {
		field, _, _ := strings.Cut(c.with, ":")
		fields := []string{c.with}
		for _, f := range []string{`"first":"oscar"`, `"second":"guppy"`, `"months":6`, `"outcome":"fine"`} {
			if !strings.HasPrefix(f, field) {
				fields = append(fields, f)
			}
		}
		a := h.Post("/v1/reports", "{"+strings.Join(fields, ",")+"}", key...)
		apitest.WantProblem(t, name, a, c.status, c.slug)
		if p := apitest.ProblemIn(t, a); p.Errors == nil || (*p.Errors)[0].Pointer != c.pointer {
			t.Errorf("%s: want %s: %s", name, c.pointer, a.Body)
		}
	}
	apitest.WantProblem(t, "nothing", h.Post("/v1/reports", `{}`, key...), bad, respond.MalformedBody)
	if page := apitest.Body[gen.ReportsPage](t, h.Get("/v1/reports", key...), http.StatusOK); len(page.Reports) != 0 {
		t.Errorf("something was written: %+v", page)
	}
}

// Who would file or retract what another request holds is told to come again.
func TestReportsDoNotWaitForEver(t *testing.T) {
	h := apitest.NewService(t)
	ours, key := h.Things("here"), h.Key("here", auth.ReportsWrite)
	conn, err := pgx.Connect(t.Context(), h.DSN)
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
		VALUES ($1, 'twin', '', sha256(''), $2)`, h.Organizations["here"], time.Now().Add(time.Hour)); err != nil {
		t.Fatal(err)
	}
	apitest.WantProblem(t, "retract", h.Do(http.MethodDelete, "/v1/reports/"+ours["report"], "", key...), http.StatusConflict, respond.RequestUnderWay)
	apitest.WantProblem(t, "file", h.Post("/v1/reports", apitest.KilledReport, apitest.With(key, apitest.Idempotency("twin"))...), http.StatusConflict, respond.RequestUnderWay)
}
