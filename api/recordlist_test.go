package api

import (
	"net/http"
	"net/url"
	"slices"
	"strings"
	"testing"
	"time"

	"commensal/api/gen"
)

func TestRecordsAreListedInPages(t *testing.T) {
	d := newDesk(t)
	var all []string
	for i := range 5 {
		list := oscarJoins
		if i%2 == 1 {
			list = `{"external_ref":"r","residents":[{"species":"neon tetra","count":12}]}`
		}
		all = append([]string{d.record(list).Id}, all...)
	}
	var got []string
	for target := "/v1/checks?limit=2"; target != ""; {
		a := d.get(target, d.office...)
		page := body[gen.ChecksPage](t, a, http.StatusOK)
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
	third := body[gen.CheckRecord](t, d.get("/v1/checks/"+all[2], d.office...), http.StatusOK)
	moment := url.QueryEscape(third.DecidedAt.Format(time.RFC3339Nano))
	for query, want := range map[string]int{"decision=hold": 3, "external_ref=r": 2, "external_ref=s": 0, "since=" + moment: 3, "until=" + moment: 2, "since=2000-01-01T00:00:00Z&decision=hold": 3} {
		page := body[gen.ChecksPage](t, d.get("/v1/checks?"+query, d.office...), http.StatusOK)
		lines := strings.Count(d.get("/v1/checks/export?"+query, d.office...).Body.String(), "\n")
		if len(page.Checks) != want || lines != want {
			t.Errorf("%s: %d listed, %d exported, want %d", query, len(page.Checks), lines, want)
		}
	}
}

func TestBadQuestionsAboutRecordsAreRefusedInWords(t *testing.T) {
	d := newDesk(t)
	for _, path := range []string{"/v1/checks", "/v1/checks/export"} {
		for query, want := range map[string]struct {
			status int
			slug   slug
		}{
			"decision=maybe":   {400, malformedParameter},
			"since=yesterday":  {400, malformedParameter},
			"until=2026-02-30": {400, malformedParameter},
			"until=":           {400, malformedParameter},
			"external_ref=":    {400, malformedParameter},
			"since=2026-01-01T00:00:00Z&until=2026-01-01T00:00:00Z": {422, impossibleValue},
		} {
			wantProblem(t, path+"?"+query, d.get(path+"?"+query, d.office...), want.status, want.slug)
		}
	}
	wantProblem(t, "another list's cursor", d.get("/v1/checks?cursor=AAAA", d.office...), http.StatusBadRequest, invalidCursor)
	d.record(oscarJoins)
	d.record(oscarJoins)
	next := *body[gen.ChecksPage](t, d.get("/v1/checks?limit=1", d.office...), http.StatusOK).Next
	wantProblem(t, "a cursor under another filter", d.get("/v1/checks?decision=hold&cursor="+next, d.office...), http.StatusBadRequest, invalidCursor)
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
		if a := d.post("/v1/checks", text, d.till...); a.Code != want {
			t.Errorf("%s: %d %s", text, a.Code, a.Body)
		}
	}
	if page := body[gen.ChecksPage](t, d.get("/v1/checks", d.office...), http.StatusOK); len(page.Checks) != 2 {
		t.Errorf("%d records: a refused check is recorded", len(page.Checks))
	}
}
