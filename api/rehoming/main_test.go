package rehoming_test

import (
	"os"
	"testing"

	"commensal/api/apitest"
	"commensal/api/validate"
	"commensal/internal/store/dbtest"
)

func TestMain(m *testing.M) { os.Exit(apitest.Main(m, dbtest.Run, wanted)) }

// wanted are the answers of the room, and those of placements that are kept.
func wanted(op *validate.Operation, status string) bool {
	return apitest.OfTags("rehoming")(op, status) || op.ID == "placeFish" && (status == "201" || status == "409")
}
