// Package work is where the dear part of a request waits until there is room for it, gets a
// budget, and is counted: what a request about a list may cost, and what it did cost.
//
// Cheap lookups do not come here. Short work and long work have lanes of their own: short
// work may use every processor, long work leaves one to the rest, so that a till's basket
// never waits behind a warehouse. Work ends with the request's context: whoever closes
// the connection stops it.
package work
