// Package testfish has the species and books that tests of lists are about: the built-in
// catalogue, generated ones, and worlds of plain fish in which one thing is changed.
package testfish

import (
	"sync"
	"testing"

	"commensal/db"
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/species/catalogue/builtin"
	"commensal/internal/species/catalogue/lawtext"
	"commensal/internal/species/synthetic"

	"pgregory.net/rapid"
)

// realBook is the built-in catalogue under the fitted weights, read once.
var realBook = sync.OnceValues(func() (*conflict.Book, error) {
	cat, err := builtin.Catalogue()
	if err != nil {
		return nil, err
	}
	snap, err := species.NewSnapshot(1, cat)
	if err != nil {
		return nil, err
	}
	m, err := conflict.Default()
	if err != nil {
		return nil, err
	}
	rules, err := lawtext.Read(db.CatalogueFS(), nil)
	if err != nil {
		return nil, err
	}
	return conflict.NewBook(m, snap).UnderLaw(rules), nil
})

func Book(t testing.TB) *conflict.Book {
	t.Helper()
	b, err := realBook()
	if err != nil {
		t.Fatal(err)
	}
	return b
}

func GeneratedBook(t testing.TB, n int) *conflict.Book {
	t.Helper()
	snap, err := species.NewSnapshot(1, synthetic.Catalogue(1, n))
	if err != nil {
		t.Fatal(err)
	}
	m, err := conflict.Default()
	if err != nil {
		t.Fatal(err)
	}
	return conflict.NewBook(m, snap)
}

// DrawBook draws the real catalogue or a generated one.
func DrawBook(t *rapid.T, real, generated *conflict.Book) *conflict.Book {
	if rapid.Bool().Draw(t, "real") {
		return real
	}
	return generated
}
