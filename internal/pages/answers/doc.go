// Package answers asks the core for what a page shows and puts it into plain values:
// a pairing, a list, a species, ranked company. It is the only part of the pages that
// knows packages species, conflict and stocking, so that those can change their insides
// without a page noticing.
//
// Sentences about fish come from the core's own tables; nothing here words them anew.
// The package is pure, and a [Desk] is safe for many goroutines at once.
package answers
