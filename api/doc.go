// Package api is the HTTP service: it joins the rooms below it, which decode a request, call the core and
// encode the answer. The contract, openapi.yaml, says what goes over the wire; types and routes
// are generated from it, and every request is held against it at run time.
//
// Lookups run on an immutable [conflict.Book] alone and touch no database. Every
// error is a problem (RFC 9457) with a stable type under /problems/. Handlers return
// errors; one writer turns them into problems.
//
// README.md says which room holds what, how a request travels, and where an operation is added.
package api
