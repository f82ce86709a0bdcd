// Package commensal carries the contract of the service, so that the binary serves
// and obeys the same text that programs are written against.
package commensal

import _ "embed"

//go:embed openapi.yaml
var contract []byte

// Contract is the OpenAPI document, openapi.yaml, as bytes of its own.
func Contract() []byte { return append([]byte(nil), contract...) }
