package records_test

import (
	"net/http"
	"os"
	"testing"

	"commensal/api/apitest"
	"commensal/api/validate"
	"commensal/internal/store/dbtest"
)

func TestMain(m *testing.M) { os.Exit(apitest.Main(m, dbtest.Run, wanted)) }

// wanted are the answers of the room, and those to checks which are recorded.
func wanted(op *validate.Operation, status int) bool {
	return apitest.OfTags("records")(op, status) || status == http.StatusCreated && (apitest.OfTags("lists")(op, status) || op.ID == "checkTankWith")
}
