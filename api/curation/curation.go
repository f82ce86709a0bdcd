// Package curation corrects the catalogue: each correction is a new revision, and none is ever lost.
package curation

import (
	"commensal/api/respond"
	"commensal/internal/species"
	"commensal/internal/store"

	lru "github.com/hashicorp/golang-lru/v2"
)

// Curation corrects the catalogue, and tells what became of each entry.
type Curation struct {
	books    respond.Books
	store    *store.Store // nil where there is no database
	tell     func(revision int64, c species.Catalogue)
	editions *lru.Cache[contentHash, *edition]
}

// New makes the room. tell hears of each revision that is made here, before the request that
// made it is answered; nil means that nobody listens.
func New(books respond.Books, in *store.Store, tell func(revision int64, c species.Catalogue)) *Curation {
	editions, _ := lru.New[contentHash, *edition](maxEditions) // fails only for a size below 1
	return &Curation{books: books, store: in, tell: tell, editions: editions}
}
