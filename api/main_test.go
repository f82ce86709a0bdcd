package api

import (
	"flag"
	"fmt"
	"net/http"
	"os"
	"slices"
	"testing"

	"commensal/internal/store/dbtest"
)

var update = flag.Bool("update", false, "write the golden files anew")

// TestMain runs the tests and then, when all of them ran, looks for what the contract
// promises and no test has met.
func TestMain(m *testing.M) {
	flag.Parse()
	if len(unmet()) == 0 { // nothing has been asked yet
		fmt.Println("the search for what no test meets finds nothing")
		os.Exit(1)
	}
	code := dbtest.Run(m)
	if code == 0 && everything() {
		for _, missing := range unmet() {
			fmt.Println("no test meets", missing)
			code = 1
		}
	}
	os.Exit(code)
}

// everything reports whether no flag narrows the tests.
func everything() bool {
	for _, name := range []string{"test.run", "test.skip", "test.fuzz", "test.list", "test.bench"} {
		if f := flag.Lookup(name); f != nil && f.Value.String() != "" {
			return false
		}
	}
	return true
}

// unmet lists operations and statuses that no answer had. A fault of the service is
// not asked for: it would have to be built in.
func unmet() []string {
	var out []string
	for _, op := range testContract().operations {
		for _, status := range op.statuses {
			key := fmt.Sprint(op.id, " ", status)
			if _, ok := seen.Load(key); !ok && status != http.StatusInternalServerError {
				out = append(out, key)
			}
		}
	}
	slices.Sort(out)
	return out
}
