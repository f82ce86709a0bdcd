// Package gen is generated from the contract: the types of the wire format, the
// router, and the rules that requests are held against. Written by hand are this file, the settings of the generator, and
// overlay.yaml, which tells it what the contract, being for all languages, does not.
package gen

import _ "embed" // for the rules

//go:generate go run github.com/oapi-codegen/oapi-codegen/v2/cmd/oapi-codegen@v2.8.2 -config models.yaml ../../openapi.yaml
//go:generate go run github.com/oapi-codegen/oapi-codegen/v2/cmd/oapi-codegen@v2.8.2 -config server.yaml ../../openapi.yaml
//go:generate go run ./rules ../../openapi.yaml rules.gen.json

//go:embed rules.gen.json
var rules []byte

// Rules is the contract as far as requests are held against it: JSON without words and examples.
func Rules() []byte { return rules }
