package api

import (
	"net/http"
	"strconv"
	"strings"
	"sync"
	"testing"

	"commensal/api/gen"
	"commensal/internal/store"
)

const secondTank = `{"reason":"The buyer has a second tank of 450 L.","staff_ref":"desk 2"}`

func TestAnOverrideIsPartOfTheRecord(t *testing.T) {
	d := newDesk(t)
	held := d.record(oscarJoins)
	path := "/v1/checks/" + held.Id
	a := d.post(path+"/override", secondTank, d.till...)
	first := body[gen.Override](t, a, http.StatusCreated)
	if a.Header().Get("Location") != path || first.Number != 1 || *first.StaffRef != "desk 2" {
		t.Errorf("%v %+v", a.Header(), first)
	}
	second := body[gen.Override](t, d.post(path+"/override", `{"reason":"  It moves on in May. "}`, d.till...), http.StatusCreated)
	read := d.get(path, d.office...)
	now := body[gen.CheckRecord](t, read, http.StatusOK)
	if len(now.Overrides) != 2 || now.Overrides[0].Reason != first.Reason || now.Overrides[1] != second || second.Reason != "It moves on in May." || second.StaffRef != nil {
		t.Errorf("%+v", now.Overrides)
	}
	if now.Decision != gen.Hold || string(now.Answer) != string(held.Answer) || read.Header().Get("ETag") != `"3"` {
		t.Errorf("what was decided has changed: %+v", now)
	}
	if listed := body[gen.ChecksPage](t, d.get("/v1/checks", d.office...), http.StatusOK).Checks; len(listed[0].Overrides) != 2 {
		t.Errorf("listed: %+v", listed[0])
	}
}

func TestOnlyAHoldIsOverriddenAndNotWithoutEnd(t *testing.T) {
	d := newDesk(t)
	fine := d.record(`{"residents":[{"species":"neon tetra","count":12}]}`)
	if fine.Decision == gen.Hold {
		t.Fatal("neon tetras are on hold")
	}
	wantProblem(t, string(fine.Decision), d.post("/v1/checks/"+fine.Id+"/override", secondTank, d.till...), http.StatusConflict, notOverridable)
	path := "/v1/checks/" + d.record(oscarJoins).Id + "/override"
	for range store.MaxOverrides {
		body[gen.Override](t, d.post(path, secondTank, d.till...), http.StatusCreated)
	}
	wantProblem(t, "one too many", d.post(path, secondTank, d.till...), http.StatusConflict, notOverridable)
}

func TestTheSameOverrideAtTheSameTimeIsMadeOnce(t *testing.T) {
	d := newDesk(t)
	path := "/v1/checks/" + d.record(oscarJoins).Id
	var wg sync.WaitGroup
	for range 8 {
		wg.Go(func() { d.post(path+"/override", secondTank, with(d.till, idempotency("one click"))...) })
	}
	wg.Wait()
	if now := body[gen.CheckRecord](t, d.get(path, d.office...), http.StatusOK); len(now.Overrides) != 1 {
		t.Errorf("%+v", now.Overrides)
	}
}

func TestBadOverridesAreRefused(t *testing.T) {
	d := newDesk(t)
	path := "/v1/checks/" + d.record(oscarJoins).Id
	for text, want := range map[string]int{
		`{}`:                           400,
		`{"reason":7}`:                 400,
		`{"reason":"ok","name":"x"}`:   400,
		`{"reason":""}`:                422,
		`{"reason":"ok"}`:              422,
		`{"reason":" ok            "}`: 422,
		`{"reason":"     "}`:           422,
		`{"reason":"two\nlines"}`:      422,
		`{"reason":"` + strings.Repeat("ä", 501) + `"}`:                          422,
		`{"reason":"good enough","staff_ref":""}`:                                422,
		`{"reason":"good enough","staff_ref":" "}`:                               422,
		`{"reason":"good enough","staff_ref":"` + strings.Repeat("s", 65) + `"}`: 422,
	} {
		if a := d.post(path+"/override", text, d.till...); a.Code != want {
			t.Errorf("%s: %d %s", text, a.Code, a.Body)
		}
	}
	longest := `{"reason":` + strconv.Quote(strings.Repeat("ä", 500)) + `,"staff_ref":` + strconv.Quote(strings.Repeat("s", 64)) + `}`
	body[gen.Override](t, d.post(path+"/override", longest, d.till...), http.StatusCreated)
	if now := body[gen.CheckRecord](t, d.get(path, d.office...), http.StatusOK); len(now.Overrides) != 1 {
		t.Errorf("%d overrides", len(now.Overrides))
	}
}
