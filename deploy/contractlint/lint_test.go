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
		{"a status that is not described", "        '429': {$ref: '#/components/responses/TooMany'}\n", "", "429"},
		{"a problem of another media type", "application/problem+json:", "application/json:", "application/problem+json"},
		{"a member in another case", "        vernacular_name: {type: string, examples: [Oscar]}\n", "        vernacularName: {type: string}\n", "vernacularName"},
		{"a required member that is missing", "required: [low, high]", "required: [low, highest]", "highest"},
		{"a number of single precision", "low: {type: number, format: double}", "low: {type: number}", "double"},
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
