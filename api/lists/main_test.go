package lists_test

import (
	"os"
	"testing"

	"commensal/api/apitest"
	"commensal/api/validate"
	"commensal/internal/store/dbtest"
)

func TestMain(m *testing.M) { os.Exit(apitest.Main(m, dbtest.Run, wanted)) }

// wanted are the answers of the room but that to a record, which is met where records are.
func wanted(op *validate.Operation, status string) bool {
	return apitest.OfTags("lists")(op, status) && status != "201" && status != "409"
}
