// Package stock keeps what an organization sells: articles with numbers of its own, matched to the kinds of the
// catalogue. Lists name them, and what is in stock is what is offered.
package stock

import (
	"commensal/api/respond"
	"commensal/api/validate"
	"commensal/api/work"
	"commensal/internal/store"
)

// Stock stores articles and answers what they are.
type Stock struct {
	books    respond.Books
	store    *store.Store // nil where there is no database
	contract *validate.Contract
	desk     *work.Desk
}

// New makes the room. Lists of articles are matched at the desk.
func New(books respond.Books, in *store.Store, contract *validate.Contract, desk *work.Desk) *Stock {
	return &Stock{books: books, store: in, contract: contract, desk: desk}
}
