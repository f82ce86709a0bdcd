package tanks_test

import (
	"context"
	"net/http"
	"strings"
	"sync"
	"testing"
	"time"

	"commensal/api/apitest"
	"commensal/api/gen"
	"commensal/api/respond"

	"github.com/jackc/pgx/v5"
)

func TestReadingsAreKeptAndListedNewestFirst(t *testing.T) {
	k := apitest.NewTankOwner(t)
	tank := k.Tank(`{"tank":{}}`)
	for _, reading := range []string{
		`{"taken_at":"2026-11-01T12:00:00Z","temperature_c":"77F","ph":6.8}`,
		`{"taken_at":"2026-11-03","gh_dh":6}`,
		`{"taken_at":"2026-11-02T12:00:00+01:00","salinity_ppt":0}`,
	} {
		if a := k.Post(tank+"/readings", reading, k.Key...); a.Code != http.StatusCreated {
			t.Fatalf("%s: %d %s", reading, a.Code, a.Body)
		}
	}
	var days []int
	for next := tank + "/readings?limit=1"; next != ""; {
		a := k.Get(next, k.Key...)
		for _, r := range apitest.Body[gen.ReadingsPage](t, a, http.StatusOK).Readings {
			days = append(days, r.TakenAt.Day())
		}
		next, _, _ = strings.Cut(strings.TrimPrefix(a.Header().Get("Link"), "<"), ">")
	}
	if len(days) != 3 || days[0] != 3 || days[1] != 2 || days[2] != 1 {
		t.Errorf("days %v", days)
	}
	oldest := apitest.Body[gen.ReadingsPage](t, k.Get(tank+"/readings", k.Key...), http.StatusOK).Readings[2]
	if *oldest.TemperatureC != 25 || *oldest.Ph != 6.8 || oldest.GhDh != nil {
		t.Errorf("%+v", oldest)
	}
	for name, c := range map[string]struct {
		body   string
		status int
	}{
		"nothing measured":  {`{}`, http.StatusUnprocessableEntity},
		"in the future":     {`{"ph":7,"taken_at":"2126-01-01T00:00:00Z"}`, http.StatusUnprocessableEntity},
		"before all tanks":  {`{"ph":7,"taken_at":"1926-01-01T00:00:00Z"}`, http.StatusUnprocessableEntity},
		"a pH of 15":        {`{"ph":15}`, http.StatusUnprocessableEntity},
		"a pH in words":     {`{"ph":"sour"}`, http.StatusBadRequest},
		"no moment":         {`{"ph":7,"taken_at":"yesterday"}`, http.StatusBadRequest},
		"a day of no month": {`{"ph":7,"taken_at":"2026-13-01"}`, http.StatusBadRequest},
	} {
		if a := k.Post(tank+"/readings", c.body, k.Key...); a.Code != c.status {
			t.Errorf("%s: %d %s", name, a.Code, a.Body)
		}
	}
	apitest.WantProblem(t, "a damaged cursor", k.Get(tank+"/readings?cursor=AgAA", k.Key...), http.StatusBadRequest, respond.InvalidCursor)
}

func TestChecksTakeTheLatestReadingsAndNoteSwings(t *testing.T) {
	k := apitest.NewTankOwner(t)
	tank := k.Tank(`{"tank":{"size":"120x50x50cm","temperature_c":30,"ph":6.8},"residents":[{"species":"guppy","count":3}]}`)
	at := func(before time.Duration, reading string) {
		t.Helper()
		moment := k.Clock.Now().Add(-before).UTC().Format(time.RFC3339)
		if a := k.Post(tank+"/readings", `{"taken_at":"`+moment+`",`+reading+`}`, k.Key...); a.Code != http.StatusCreated {
			t.Fatalf("%d %s", a.Code, a.Body)
		}
	}
	at(48*time.Hour, `"temperature_c":20`)
	at(20*24*time.Hour, `"temperature_c":40`) // too long ago to be a swing
	at(time.Hour, `"temperature_c":25,"gh_dh":10`)
	check := k.Get(tank+"/check", k.Key...)
	same := k.Post("/v1/checks", `{"tank":{"size":"120x50x50cm","temperature_c":25,"ph":6.8,"gh_dh":10},"residents":[{"species":"guppy","count":3}]}`)
	swung := apitest.Body[gen.Check](t, check, http.StatusOK)
	plain := apitest.Body[gen.Check](t, same, http.StatusOK)
	if swung.Decision != plain.Decision || len(swung.Findings) != len(plain.Findings)+1 {
		t.Errorf("%v %d findings; by hand %v %d", swung.Decision, len(swung.Findings), plain.Decision, len(plain.Findings))
	}
	found := false
	for _, f := range swung.Findings {
		if f.Code == "water_swings" {
			found = f.Summary == "The temperature ranged from 20 °C to 25 °C within 7 days: look for the cause."
		}
	}
	if !found {
		t.Errorf("the swing is not told: %s", apitest.Clipped(check.Body.String()))
	}
}

// What another request holds is not waited for without end: whoever would change it is told
// to come again.
func TestChangesDoNotWaitForEver(t *testing.T) {
	h := apitest.NewService(t)
	ours := h.Things("here")
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
	if _, err := tx.Exec(t.Context(), `SELECT 1 FROM tanks JOIN residents ON tank_id = tanks.id WHERE tanks.id = $1 FOR UPDATE`, ours["tank"]); err != nil {
		t.Fatal(err)
	}
	var wg sync.WaitGroup
	for _, op := range apitest.KeyedOperations(t) {
		if !op.Lists(http.StatusConflict) || !strings.Contains(op.Path, "{tank}") || apitest.RecordsCheck(op) {
			continue
		}
		key := h.Good(op, "here")
		wg.Go(func() {
			a := h.Call(op, ours, key...)
			apitest.WantProblem(t, op.ID, a, http.StatusConflict, respond.RequestUnderWay)
			if a.Header().Get("Retry-After") != "1" {
				t.Errorf("%s: Retry-After %q", op.ID, a.Header().Get("Retry-After"))
			}
		})
	}
	wg.Wait()
}
