// Package gen is generated from the contract: the types of the wire format, the
// router and the strict handler interface. Nothing in it is written by hand but this
// comment and the generator's settings.
package gen

//go:generate go run github.com/oapi-codegen/oapi-codegen/v2/cmd/oapi-codegen@v2.8.2 -config models.yaml ../../openapi.yaml
//go:generate go run github.com/oapi-codegen/oapi-codegen/v2/cmd/oapi-codegen@v2.8.2 -config server.yaml ../../openapi.yaml
