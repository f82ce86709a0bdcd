package api_test

import (
	"net/http"
	"os"
	"testing"

	"commensal/api/apitest"
	"commensal/api/validate"
	"commensal/internal/store/dbtest"
)

func TestMain(m *testing.M) { os.Exit(apitest.Main(m, dbtest.Run, wanted)) }

// wanted are the answers about health, and the refusals.
func wanted(op *validate.Operation, status int) bool {
	return op.Path == "/livez" || op.Path == "/readyz" || refusals(op, status)
}

// refusals are the statuses of what stands before all operations, for those that need a key: all are met here.
func refusals(op *validate.Operation, status int) bool {
	if len(op.Scopes) == 0 {
		return false
	}
	switch status {
	case http.StatusBadRequest, http.StatusUnauthorized, http.StatusForbidden, http.StatusRequestEntityTooLarge,
		http.StatusUnsupportedMediaType, http.StatusTooManyRequests, http.StatusServiceUnavailable:
		return true
	}
	return false
}
