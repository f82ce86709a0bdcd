package api_test

import (
	"os"
	"testing"

	"commensal/api/apitest"
	"commensal/api/validate"
	"commensal/internal/store/dbtest"
)

func TestMain(m *testing.M) { os.Exit(apitest.Main(m, dbtest.Run, wanted)) }

// wanted are the answers about health, and what operations have in common.
func wanted(op *validate.Operation, status string) bool {
	return op.Path == "/livez" || op.Path == "/readyz" || apitest.Common(op, status)
}
