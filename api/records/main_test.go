package records_test

import (
	"os"
	"testing"

	"commensal/api/apitest"
	"commensal/api/validate"
	"commensal/internal/store/dbtest"
)

func TestMain(m *testing.M) { os.Exit(apitest.Main(m, dbtest.Run, wanted)) }

// wanted are the answers of the room, and those to checks which are recorded.
func wanted(op *validate.Operation, status string) bool {
	return apitest.OfTags("records")(op, status) || (op.ID == "checkList" || op.ID == "checkTankWithIncoming") && (status == "201" || status == "409")
}
