package api_test

import (
	"net/http"
	"slices"
	"strings"
	"testing"

	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/validate"
	"commensal/internal/stocking/wording"
)

func TestEveryReasonCodeIsDescribedAndHasItsPage(t *testing.T) {
	schema := validate.AsMap(apitest.Contract().At("/components/schemas/FindingCode"))
	described := validate.AsMap(schema["x-descriptions"])
	var codes []string
	for _, c := range validate.AsList(schema["enum"]) {
		codes = append(codes, c.(string))
	}
	if len(codes) < 60 || len(described) != len(codes) {
		t.Fatalf("%d codes, %d descriptions", len(codes), len(described))
	}
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	for _, code := range codes {
		if text, _ := described[code].(string); !strings.HasSuffix(text, ".") {
			t.Errorf("%s is described as %q", code, text)
		}
		if a := w.Get("/docs/reasons/" + code); a.Code != http.StatusOK || !strings.Contains(a.Body.String(), "<code>"+code+"</code>") {
			t.Errorf("%s has no page: %d", code, a.Code)
		}
		if a := w.Get("/docs/reasons"); !strings.Contains(a.Body.String(), "/reasons/"+code+`"`) {
			t.Errorf("%s is not on the list of pages", code)
		}
	}
	for _, code := range wording.FindingCodes() {
		if !slices.Contains(codes, string(code)) {
			t.Errorf("the contract does not know %s", code)
		}
	}
	if n := len(wording.FindingCodes()); n != len(codes) {
		t.Errorf("the contract knows %d codes, and %d can be found", len(codes), n)
	}
	if a := w.Get("/docs/reasons/no_such_code"); a.Code != http.StatusNotFound {
		t.Errorf("an unknown code: %d", a.Code)
	}
}
