package site_test

import (
	"os"
	"strings"
	"testing"

	"commensal/api/apitest"
	"commensal/api/validate"
	"commensal/internal/store/dbtest"
)

func TestMain(m *testing.M) { os.Exit(apitest.Main(m, dbtest.Run, wanted)) }

// wanted are the answers of the room; health is met beside the server.
func wanted(op *validate.Operation, status string) bool {
	return apitest.OfTags("service")(op, status) && !strings.HasSuffix(op.Path, "z")
}
