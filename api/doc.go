// Package api is the HTTP skin: it decodes a request, calls the core and encodes the
// answer. The contract, openapi.yaml, says what goes over the wire; types and router
// are generated from it, and every request is checked against it at run time.
//
// Lookups run on an immutable [conflict.Book] alone and touch no database. Every
// error is a problem (RFC 9457) with a stable type under /problems/. Handlers return
// errors; one writer turns them into problems.
//
// # Where things are
//
// A file per resource holds its handler (pairing.go, matrix.go, ranked.go, checks.go, additions.go,
// specieslist.go, speciesone.go, health.go, site.go); files ending in "wire" map
// domain values to the wire. Around them stand the middleware, one file each, in the
// order that server.go lists.
package api
