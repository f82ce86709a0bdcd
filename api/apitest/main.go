package apitest

import (
	"flag"
	"fmt"
	"slices"
	"strconv"
	"testing"

	"commensal/api/validate"
)

// Main runs the tests of a package and then, when all of them ran, looks for what the contract
// promises of the operations and statuses that are wanted there, and no test has met.
func Main(m *testing.M, run func(*testing.M) int, wanted func(op *validate.Operation, status string) bool) int {
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

// OfTags are the operations with one of the tags, and the statuses that they list but what every operation with a key
// has in common.
func OfTags(tags ...string) func(op *validate.Operation, status string) bool {
	return func(op *validate.Operation, status string) bool {
		return !Common(op, status) && slices.ContainsFunc(op.Tags, func(t string) bool { return slices.Contains(tags, t) })
	}
}

// Common reports what operations have in common, and what is tested for all of them in one place: refusals and, with a key, what is
// another's or nobody's.
func Common(op *validate.Operation, status string) bool {
	return status == "default" || len(op.Scopes) > 0 && status == "404"
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

// responses are the statuses that an operation lists, and "default" for the refusals of those under /v1.
func responses(op *validate.Operation) (out []string) {
	for _, status := range op.Statuses {
		out = append(out, strconv.Itoa(status))
	}
	if op.Default && op.Public() {
		out = append(out, "default")
	}
	return out
}

// unmet lists operations and statuses that are wanted and that no answer had.
func unmet(wanted func(op *validate.Operation, status string) bool) []string {
	var out []string
	for _, op := range Contract().Operations {
		for _, status := range responses(op) {
			key := op.ID + " " + status
			if _, ok := Met.Load(key); !ok && wanted(op, status) {
				out = append(out, key)
			}
		}
	}
	slices.Sort(out)
	return out
}
