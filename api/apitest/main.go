package apitest

import (
	"flag"
	"fmt"
	"net/http"
	"slices"
	"testing"

	"commensal/api/validate"
)

// Main runs the tests of a package and then, when all of them ran, looks for what the contract
// promises of the operations and statuses that are wanted there, and no test has met.
func Main(m *testing.M, run func(*testing.M) int, wanted func(op *validate.Operation, status int) bool) int {
	flag.Parse()
	if len(unmet(wanted)) == 0 { // nothing has been asked yet
		fmt.Println("the search for what no test meets finds nothing")
		return 1
	}
	code := run(m)
	if code == 0 && everything() {
		for _, missing := range unmet(wanted) {
			fmt.Println("no test meets", missing)
			code = 1
		}
	}
	return code
}

// OfTags are the operations with one of the tags, and the statuses that are their own.
func OfTags(tags ...string) func(op *validate.Operation, status int) bool {
	return func(op *validate.Operation, status int) bool {
		return OwnStatus(status) && slices.ContainsFunc(op.Tags, func(t string) bool { return slices.Contains(tags, t) })
	}
}

// OwnStatus reports whether an operation itself answers with a status. The others come from what
// stands before all operations.
func OwnStatus(status int) bool { return status < http.StatusBadRequest }

// everything reports whether no flag narrows the tests.
func everything() bool {
	for _, name := range []string{"test.run", "test.skip", "test.fuzz", "test.list", "test.bench"} {
		if f := flag.Lookup(name); f != nil && f.Value.String() != "" {
			return false
		}
	}
	return true
}

// unmet lists operations and statuses that are wanted and that no answer had. A fault of the service is
// not asked for: it would have to be built in.
func unmet(wanted func(op *validate.Operation, status int) bool) []string {
	var out []string
	for _, op := range Contract().Operations {
		for _, status := range op.Statuses {
			key := fmt.Sprint(op.ID, " ", status)
			if _, ok := Met.Load(key); !ok && wanted(op, status) && status != http.StatusInternalServerError {
				out = append(out, key)
			}
		}
	}
	slices.Sort(out)
	return out
}
