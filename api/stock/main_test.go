package stock_test

import (
	"os"
	"testing"

	"commensal/api/apitest"
	"commensal/internal/store/dbtest"
)

func TestMain(m *testing.M) { os.Exit(apitest.Main(m, dbtest.Run, apitest.OfTags("stock"))) }
