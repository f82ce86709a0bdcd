package main

import (
	"os"
	"strings"
	"testing"
)

func contract(t *testing.T) string {
	t.Helper()
	text, err := os.ReadFile("../../openapi.yaml")
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func TestTheContractIsSound(t *testing.T) {
	if _, faults := lint([]byte(contract(t))); len(faults) > 0 {
		t.Errorf("faults:\n%s", strings.Join(faults, "\n"))
	}
}

// A lint that finds nothing proves nothing: each slip, made in the real contract, has
// to be found.
func TestEverySlipIsFound(t *testing.T) {
	for _, c := range []struct{ name, from, to, fault string }{
		{"a reference to nothing", "$ref: '#/components/schemas/Pairing'}", "$ref: '#/components/schemas/Paring'}", "Paring"},
		{"an operation without a name", "      operationId: explainPairing\n", "", "operationId"},
		{"two operations of one name", "operationId: explainPairing\n", "operationId: getSpecies\n", "getSpecies"},
		{"a name that is a method of HTTP", "operationId: checkList\n", "operationId: postChecks\n", "postChecks"},
		{"problems that are not described", "        default: {$ref: '#/components/responses/Failure'}\n", "", "problem"},
		{"a body without an example", "            example: {species: [", "            x-example: {species: [", "has no example"},
		{"answers without an example", "              example:\n                status: ok\n", "              x-example:\n                status: ok\n", "has an example"},
		{"an example that is not as its schema", "                decision: proceed\n", "                decision: maybe\n", "maybe"},
		{"a schema without a description", "      description: A species by its id and its names.\n", "", "SpeciesRef"},
		{"a property without a description", "low: {type: number, format: double, description: 'The lower end.'}", "low: {type: number, format: double}", "Interval.low"},
		{"a parameter without a description", "      description: Entries on a page.\n", "", "limit"},
		{"a security scheme of a schema's name", "  securitySchemes:\n    bearerKey:", "  securitySchemes:\n    key:", "security scheme key has"},
		{"a parameter of a schema's name", "\n  schemas:\n", "\n  schemas:\n    Cursor: {type: string, description: One.}\n", "parameter Cursor has the name"},
		{"a hint for one language", "    UnitSystem:\n      type: string\n", "    UnitSystem:\n      type: string\n      x-go-type: string\n", "x-go-type"},
		{"a problem of another media type", "application/problem+json:", "application/json:", "application/problem+json"},
		{"a member in another case", "        vernacular_name: {type: string, examples: [Oscar]", "        vernacularName: {type: string, examples: [Oscar]", "vernacularName"},
		{"a required member that is missing", "required: [low, high]", "required: [low, highest]", "highest"},
		{"a number of single precision", "low: {type: number, format: double,", "low: {type: number,", "double"},
		{"a path parameter that is not declared", "/v1/species/{species}:", "/v1/species/{kind}:", "kind"},
		{"a schema that nothing uses", "\n  schemas:\n", "\n  schemas:\n    Orphan: {type: string}\n", "Orphan"},
	} {
		t.Run(c.name, func(t *testing.T) {
			text := contract(t)
			if !strings.Contains(text, c.from) {
				t.Fatalf("the contract no longer has %q", c.from)
			}
			_, faults := lint([]byte(strings.Replace(text, c.from, c.to, 1)))
			if !strings.Contains(strings.Join(faults, "\n"), c.fault) {
				t.Errorf("not found; the faults are %q", faults)
			}
		})
	}
}
