package records_test

import (
	"net/http"
	"strconv"
	"strings"
	"sync"
	"testing"

	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/internal/store"
)

const secondTank = `{"reason":"The buyer has a second tank of 450 L.","staff_ref":"desk 2"}`

func TestAnOverrideIsPartOfTheRecord(t *testing.T) {
	d := apitest.NewTill(t)
	held := d.Record(fixture.OscarJoins)
	path := "/v1/checks/" + held.Id
	a := d.Post(path+"/override", secondTank, d.Till...)
	first := apitest.Body[gen.Override](t, a, http.StatusCreated)
	if a.Header().Get("Location") != path || first.Number != 1 || *first.StaffRef != "desk 2" {
		t.Errorf("%v %+v", a.Header(), first)
	}
	second := apitest.Body[gen.Override](t, d.Post(path+"/override", `{"reason":"  It moves on in May. "}`, d.Till...), http.StatusCreated)
	read := d.Get(path, d.Office...)
	now := apitest.Body[gen.CheckRecord](t, read, http.StatusOK)
	if len(now.Overrides) != 2 || now.Overrides[0].Reason != first.Reason || now.Overrides[1] != second || second.Reason != "It moves on in May." || second.StaffRef != nil {
		t.Errorf("%+v", now.Overrides)
	}
	if now.Decision != gen.Hold || string(now.Answer) != string(held.Answer) || read.Header().Get("ETag") != `"3"` {
		t.Errorf("what was decided has changed: %+v", now)
	}
	if listed := apitest.Body[gen.ChecksPage](t, d.Get("/v1/checks", d.Office...), http.StatusOK).Checks; len(listed[0].Overrides) != 2 {
		t.Errorf("listed: %+v", listed[0])
	}
}

func TestOnlyAHoldIsOverriddenAndNotWithoutEnd(t *testing.T) {
	d := apitest.NewTill(t)
	fine := d.Record(`{"residents":[{"species":"neon tetra","count":12}]}`)
	if fine.Decision == gen.Hold {
		t.Fatal("neon tetras are on hold")
	}
	apitest.WantProblem(t, string(fine.Decision), d.Post("/v1/checks/"+fine.Id+"/override", secondTank, d.Till...), http.StatusConflict, respond.NotOverridable)
	path := "/v1/checks/" + d.Record(fixture.OscarJoins).Id + "/override"
	for range store.MaxOverrides {
		apitest.Body[gen.Override](t, d.Post(path, secondTank, d.Till...), http.StatusCreated)
	}
	apitest.WantProblem(t, "one too many", d.Post(path, secondTank, d.Till...), http.StatusConflict, respond.NotOverridable)
}

func TestTheSameOverrideAtTheSameTimeIsMadeOnce(t *testing.T) {
	d := apitest.NewTill(t)
	path := "/v1/checks/" + d.Record(fixture.OscarJoins).Id
	var wg sync.WaitGroup
	for range 8 {
		wg.Go(func() {
			d.Post(path+"/override", secondTank, apitest.With(d.Till, apitest.Idempotency("one click"))...)
		})
	}
	wg.Wait()
	if now := apitest.Body[gen.CheckRecord](t, d.Get(path, d.Office...), http.StatusOK); len(now.Overrides) != 1 {
		t.Errorf("%+v", now.Overrides)
	}
}

func TestBadOverridesAreRefused(t *testing.T) {
	d := apitest.NewTill(t)
	path := "/v1/checks/" + d.Record(fixture.OscarJoins).Id
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
		if a := d.Post(path+"/override", text, d.Till...); a.Code != want {
			t.Errorf("%s: %d %s", text, a.Code, a.Body)
		}
	}
	longest := `{"reason":` + strconv.Quote(strings.Repeat("ä", 500)) + `,"staff_ref":` + strconv.Quote(strings.Repeat("s", 64)) + `}`
	apitest.Body[gen.Override](t, d.Post(path+"/override", longest, d.Till...), http.StatusCreated)
	if now := apitest.Body[gen.CheckRecord](t, d.Get(path, d.Office...), http.StatusOK); len(now.Overrides) != 1 {
		t.Errorf("%d overrides", len(now.Overrides))
	}
}
