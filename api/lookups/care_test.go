package lookups_test

import (
	"net/http"
	"strings"
	"testing"

	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/api/respond"
)

// A care sheet is asked for by any name, as JSON or as a slip, alone or for a tank, and is kept like other lookups.
func TestACareSheetGoesOverTheCounter(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Fitted(t)))
	a := w.Get("/v1/species/zebra%20danio/care")
	if a.Code != http.StatusOK || a.Header().Get("Vary") != "Accept" {
		t.Fatalf("%d %s", a.Code, a.Body)
	}
	sheet := apitest.Body[gen.CareSheet](t, a, http.StatusOK)
	if sheet.Species.Id != "danio-rerio" || len(sheet.Lines) < 6 || sheet.Decision != nil {
		t.Errorf("%+v", sheet)
	}
	if again := w.Get("/v1/species/danio-rerio/care", "If-None-Match", a.Header().Get("ETag")); again.Code != http.StatusNotModified || again.Body.Len() > 0 {
		t.Errorf("asked again: %d %s", again.Code, again.Body)
	}

	slip := w.Get("/v1/species/danio-rerio/care?units=us", "Accept", "text/plain")
	if slip.Code != http.StatusOK || !strings.HasPrefix(slip.Header().Get("Content-Type"), "text/plain") || !strings.Contains(slip.Body.String(), "(68 °F)") {
		t.Errorf("%d %s: %s", slip.Code, slip.Header().Get("Content-Type"), slip.Body)
	}
	if slip.Header().Get("ETag") == a.Header().Get("ETag") {
		t.Error("the slip has the tag of the JSON")
	}

	small := apitest.Body[gen.CareSheet](t, w.Get("/v1/species/oscar/care?tank=60x30x30cm"), http.StatusOK)
	if small.Decision == nil || *small.Decision != gen.Hold {
		t.Errorf("an oscar in 60 cm: %+v", small.Decision)
	}
}

func TestWhatACareSheetCannotBeMadeOf(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Fitted(t)))
	apitest.WantProblem(t, "an unknown name", w.Get("/v1/species/oscarr/care"), http.StatusNotFound, respond.UnknownSpecies)
	apitest.WantProblem(t, "no fish", w.Get("/v1/species/axolotl/care"), http.StatusNotFound, respond.NotAFish)
	apitest.WantProblem(t, "no tank", w.Get("/v1/species/oscar/care?tank=big"), http.StatusBadRequest, respond.MalformedParameter)
}
