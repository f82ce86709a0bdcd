package accounts_test

import (
	"net/http"
	"testing"

	"commensal/api/apitest"
	"commensal/api/respond"
	"commensal/internal/auth"

	"github.com/jackc/pgx/v5"
)

// What keys are made and revoked with, and quotas, may be held by another request too.
func TestKeysThatAnotherRequestHoldsAreNotWaitedForWithoutEnd(t *testing.T) {
	h := apitest.NewService(t)
	ours, key := h.Things("here"), h.Key("here", auth.Manage)
	conn, err := pgx.Connect(t.Context(), h.DSN)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(t.Context())
	tx, err := conn.Begin(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if _, err := tx.Exec(t.Context(), `
		INSERT INTO idempotency_records (organization_id, key, operation, body_hash, expires_at) VALUES ($1, 'twin', '', sha256(''), now())`, h.Organizations["here"]); err != nil {
		t.Fatal(err)
	}
	if _, err := tx.Exec(t.Context(), `SELECT 1 FROM keys WHERE id = $1 FOR UPDATE`, ours["key"]); err != nil {
		t.Fatal(err)
	}
	if _, err := tx.Exec(t.Context(), `INSERT INTO organization_quotas (organization_id, kind, most) SELECT $1, kind, 1 FROM quotas`, h.Organizations["here"]); err != nil {
		t.Fatal(err)
	}
	operations := apitest.Contract().Operations
	for _, id := range []string{"createKey", "revokeKey"} {
		a := h.Call(operations[id], ours, apitest.With(key, apitest.Idempotency("twin"))...)
		apitest.WantProblem(t, id, a, http.StatusConflict, respond.RequestUnderWay)
	}
	quotas := h.Call(operations["setQuotas"], ours, h.Key("here", auth.Admin)...)
	apitest.WantProblem(t, "setQuotas", quotas, http.StatusConflict, respond.RequestUnderWay)
}
