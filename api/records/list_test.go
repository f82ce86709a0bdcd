package records_test

import (
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/api/respond"
)

func TestRecordsAreListedInPages(t *testing.T) {
	d := apitest.NewTill(t)
	var all []string
	for i := range 5 {
		list := fixture.OscarJoins
		if i%2 == 1 {
			list = `{"external_ref":"r","residents":[{"species":"neon tetra","count":12}]}`
		}
		all = append([]string{d.Record(list).Id}, all...)
	}
	var got []string
	for target := "/v1/checks?limit=2"; target != ""; {
		a := d.Get(target, d.Office...)
		page := apitest.Body[gen.ChecksPage](t, a, http.StatusOK)
		for _, c := range page.Checks {
			got = append(got, c.Id)
		}
		if target = ""; page.Next != nil {
			target = strings.TrimPrefix(strings.Split(a.Header().Get("Link"), ">")[0], "<")
		}
	}
	if !slices.Equal(got, all) {
		t.Errorf("listed %v, made %v", got, all)
	}
	third := apitest.Body[gen.CheckRecord](t, d.Get("/v1/checks/"+all[2], d.Office...), http.StatusOK)
	moment := url.QueryEscape(third.DecidedAt.Format(time.RFC3339Nano))
	for query, want := range map[string]int{"decision=hold": 3, "external_ref=r": 2, "external_ref=s": 0, "since=" + moment: 3, "until=" + moment: 2, "since=2000-01-01T00:00:00Z&decision=hold": 3,
		"since=2000-01-01": len(all), "until=9999-12-30": len(all), "until=2000-01-01": 0, "since=9999-12-30": 0} {
		page := apitest.Body[gen.ChecksPage](t, d.Get("/v1/checks?"+query, d.Office...), http.StatusOK)
		lines := strings.Count(d.Get("/v1/checks/export?"+query, d.Office...).Body.String(), "\n")
		if len(page.Checks) != want || lines != want {
			t.Errorf("%s: %d listed, %d exported, want %d", query, len(page.Checks), lines, want)
		}
	}
}

func TestBadQuestionsAboutRecordsAreRefusedInWords(t *testing.T) {
	d := apitest.NewTill(t)
	for _, path := range []string{"/v1/checks", "/v1/checks/export"} {
		for query, want := range map[string]struct {
			status int
			slug   respond.Slug
		}{
			"decision=maybe":                    {400, respond.MalformedParameter},
			"since=yesterday":                   {400, respond.MalformedParameter},
			"since=2026-02-30":                  {400, respond.MalformedParameter},
			"since=2026-02-02&until=2026-02-01": {422, respond.ImpossibleValue},
			"until=2026-02-30":                  {400, respond.MalformedParameter},
			"until=":                            {400, respond.MalformedParameter},
			"external_ref=":                     {400, respond.MalformedParameter},
			"since=2026-01-01T00:00:00Z&until=2026-01-01T00:00:00Z": {422, respond.ImpossibleValue},
		} {
			apitest.WantProblem(t, path+"?"+query, d.Get(path+"?"+query, d.Office...), want.status, want.slug)
		}
	}
	apitest.WantProblem(t, "another list's cursor", d.Get("/v1/checks?cursor=AAAA", d.Office...), http.StatusBadRequest, respond.InvalidCursor)
	d.Record(fixture.OscarJoins)
	d.Record(fixture.OscarJoins)
	next := *apitest.Body[gen.ChecksPage](t, d.Get("/v1/checks?limit=1", d.Office...), http.StatusOK).Next
	apitest.WantProblem(t, "a cursor under another filter", d.Get("/v1/checks?decision=hold&cursor="+next, d.Office...), http.StatusBadRequest, respond.InvalidCursor)
	for text, want := range map[string]int{
		`{"record":"yes","residents":[{"species":"guppy"}]}`:                                                  400,
		`{"record":null,"residents":[{"species":"guppy"}]}`:                                                   400,
		`{"external_ref":"r","residents":[{"species":"guppy"}]}`:                                              422,
		`{"record":true,"external_ref":"","residents":[{"species":"guppy"}]}`:                                 422,
		`{"record":true,"external_ref":"  ","residents":[{"species":"guppy"}]}`:                               422,
		`{"record":true,"external_ref":"a\nb","residents":[{"species":"guppy"}]}`:                             422,
		`{"record":true,"external_ref":"` + strings.Repeat("r", 121) + `","residents":[{"species":"guppy"}]}`: 422,
		`{"record":true,"residents":[]}`:                                                                      422,
		`{"record":true,"residents":[{"species":"guppy"},{"species":"no such fish"}]}`:                        422,
	} {
		if a := d.Post("/v1/checks", text, d.Till...); a.Code != want {
			t.Errorf("%s: %d %s", text, a.Code, a.Body)
		}
	}
	if page := apitest.Body[gen.ChecksPage](t, d.Get("/v1/checks", d.Office...), http.StatusOK); len(page.Checks) != 2 {
		t.Errorf("%d records: a refused check is recorded", len(page.Checks))
	}
}
