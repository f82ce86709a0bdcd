package validate

import (
	"maps"
	"slices"
	"strconv"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// body holds bodies against a schema.
type body struct {
	schema *jsonschema.Schema
	shape  *shape // nil where the schema has no parts
	plan   *plan  // nil where the schema has rules that plans do not know
}

func newBody(s *jsonschema.Schema) *body {
	if s == nil {
		return nil
	}
	return &body{schema: s, shape: shapes{}.of(s), plan: planOf(s)}
}

// misfits are the rules of the contract that a body breaks, at most as many as are told of.
// Where a list in it is too long, that alone is told.
func (b *body) misfits(value any) []violation {
	if b.shape == nil {
		if err := b.schema.Validate(value); err != nil {
			return violations(err)
		}
		return nil
	}
	var sizes misfits
	if b.shape.sizes("", value, &sizes); len(sizes.found) > 0 {
		return sizes.found
	}
	var all misfits
	b.shape.rules("", value, &all)
	return all.found
}

func sortedNames(fields map[string]*shape) []string { return slices.Sorted(maps.Keys(fields)) }

func tooMany(got, want int) violation {
	return violation{what: "has " + strconv.Itoa(got) + " entries, which is too many", fix: "give at most " + strconv.Itoa(want), impossible: true}
}

// HasBody reports whether the operation takes a body.
func (o *Operation) HasBody() bool { return o.body != nil }
