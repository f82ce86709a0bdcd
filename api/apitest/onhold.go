package apitest

import (
	"net/http"
	"testing"

	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/internal/store"
)

// onHold is a record of a check on hold, as the service would have made it.
func onHold(t testing.TB) store.CheckRecord {
	t.Helper()
	a := Ask(t, ServerOf(t, fixture.Few(t))).Post("/v1/checks", fixture.OscarJoins)
	check := Body[gen.Check](t, a, http.StatusOK)
	if check.Decision != "hold" {
		t.Fatalf("%s", a.Body)
	}
	return store.CheckRecord{Decision: string(check.Decision), Summary: check.Summary, Revision: check.CatalogueRevision, Model: check.ModelVersion,
		Program: "test", Key: "aaaaaaaaaaaaaaaa", Answer: a.Body.Bytes(), Input: []byte(fixture.OscarJoinsUnderstood)}
}
