package lists_test

import (
	"net/http"
	"strings"
	"testing"
	"unicode/utf8"

	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/api/lists"
	"commensal/internal/slip"
)

// asSlip asks for plain text and holds it to a till's paper.
func asSlip(t *testing.T, w *apitest.Witness, path, body string) string {
	t.Helper()
	a := w.Post(path, body, "Accept", "text/plain")
	if a.Code != http.StatusOK || a.Header().Get("Content-Type") != "text/plain; charset=utf-8" || a.Header().Get("Vary") != "Accept" {
		t.Fatalf("%d %v %s", a.Code, a.Header(), a.Body)
	}
	for line := range strings.Lines(a.Body.String()) {
		if utf8.RuneCountInString(strings.TrimSuffix(line, "\n")) > slip.Columns {
			t.Errorf("%q is longer than a line", line)
		}
	}
	return a.Body.String()
}

func TestOneQuestionIsAnsweredInFullInBriefAndOnASlip(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	body := mixed("")
	for range 2 { // the second time from what is kept
		full := apitest.CheckOf(t, w, body)
		a := w.Post("/v1/checks", mixed(`,"detail":"brief"`))
		brief := apitest.Body[gen.BriefCheck](t, a, http.StatusOK)
		if full.Decision != brief.Decision || full.Summary != brief.Summary || len(brief.Reasons)+brief.FurtherReasons != len(full.Findings) || a.Body.Len() > lists.MaxBrief || a.Header().Get("Vary") != "Accept" {
			t.Errorf("%s %q, in brief %s", full.Decision, full.Summary, a.Body)
		}
		text := asSlip(t, w, "/v1/checks", body)
		if !strings.HasPrefix(text, "HOLD\n") || !strings.Contains(text, brief.Reasons[0].Code) {
			t.Errorf("%s", text)
		}
		if a := w.Post("/v1/checks", body, "Accept", "text/plain;q=0.5, application/json"); a.Header().Get("Content-Type") != "application/json" {
			t.Errorf("JSON is preferred, and %s is answered", a.Header().Get("Content-Type"))
		}
	}
}

func TestAProblemIsAProblemAlsoWhereASlipIsWanted(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	refused(t, w.Post("/v1/checks", `{"residents":[{"species":"oscarr"}]}`, "Accept", "text/plain"), 422, "unknown-species", []string{"/residents/0/species"})
	refused(t, w.Post("/v1/checks", `{"residents":[{"species":"oscar"}],"detail":"short"}`), 400, "malformed-body", []string{"/detail"})
}

func TestAdditionsInBriefAreTheFirstOfAll(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Fitted(t)))
	for _, list := range []string{`"residents":[]`, `"residents":[{"species":"neon tetra","count":12}]`, `"residents":[{"species":"oscar"}],"tank":{"volume_l":60}`,
		`"residents":[{"species":"neon tetra","count":12}],"in_stock":["oscar"]`, `"residents":[],"in_stock":["oscar"],"filters":{"max_length_cm":2}`} {
		full := additionsOf(t, w, `{`+list+`}`)
		brief := apitest.Body[gen.BriefAdditions](t, w.Post("/v1/additions", `{`+list+`,"detail":"brief"}`), http.StatusOK)
		if len(brief.Fitting) != min(5, len(full.Fitting)) || brief.Decision != full.Decision || len(full.Fitting) > 0 == (len(brief.Below) > 0) && len(full.Below) > 0 {
			t.Fatalf("%s: %d fit and %d nearly, in brief %+v", list, len(full.Fitting), len(full.Below), brief)
		}
		for i, x := range brief.Fitting {
			if f := &full.Fitting[i]; f.Species.Id != x.Species || f.Count != x.Count || f.Decision != x.Decision {
				t.Errorf("%s: %d is %s, in brief %s", list, i, f.Species.Id, x.Species)
			}
		}
		for i, x := range brief.Below {
			if full.Below[i].Species.Id != x.Species {
				t.Errorf("%s: %d is %s, in brief %s", list, i, full.Below[i].Species.Id, x.Species)
			}
		}
		if text := asSlip(t, w, "/v1/additions", `{`+list+`}`); !strings.Contains(strings.ReplaceAll(text, "\n", " "), brief.Summary[:20]) {
			t.Errorf("%q is not on\n%s", brief.Summary, text)
		}
	}
}

func TestPlacementsInBriefPlaceAllAsInFull(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Fitted(t)))
	list := `"incoming":[{"species":"oscar","ref":"A-1"},{"species":"panda cory","count":6},{"species":"neon tetra","count":10}],
		"tanks":[{"external_ref":"mill lane","tank":{"size":"100x40x40cm"}},{"tank":{"volume_l":20}}]`
	full := apitest.Body[gen.Placements](t, w.Post("/v1/placements", `{`+list+`}`), http.StatusOK)
	a := w.Post("/v1/placements", `{`+list+`,"detail":"brief"}`)
	brief := apitest.Body[gen.BriefPlacements](t, a, http.StatusOK)
	if brief.Summary != full.Summary || len(brief.Arrivals) != len(full.Arrivals) || a.Body.Len() > lists.MaxBrief {
		t.Fatalf("%q, in brief %s", full.Summary, a.Body)
	}
	for i := range full.Arrivals {
		f, x := &full.Arrivals[i], &brief.Arrivals[i]
		if (f.Tank == nil) != (x.Tank == nil) || f.Tank != nil && *f.Tank != *x.Tank || f.Fitting != x.Fitting || f.Tank == nil && (x.Reason == nil || *x.Reason != f.Options[0].Reason) {
			t.Errorf("%+v, in brief %+v", f, x)
		}
	}
	if x := brief.Arrivals[0]; x.Tank != nil || x.Refs[0] != "A-1" {
		t.Errorf("the oscar is placed: %+v", x)
	}
	if text := asSlip(t, w, "/v1/placements", `{`+list+`}`); !strings.Contains(text, "A-1: no place\n  Oscar\n") || !strings.Contains(text, "mill lane") ||
		!strings.Contains(text, "\n  6 × Panda cory\n") || !strings.Contains(text, "\n  10 × Neon tetra\n") {
		t.Errorf("%s", text)
	}
}
