package stocking

import (
	"sync"
	"testing"

	"commensal/db"
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/species/catalogue"
)

// realBook is the built-in catalogue under the fitted weights, read once.
var realBook = sync.OnceValues(func() (*conflict.Book, error) {
	cat, err := catalogue.Parse(db.CatalogueFS())
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
	return conflict.NewBook(m, snap), nil
})

func book(t testing.TB) *conflict.Book {
	t.Helper()
	b, err := realBook()
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// some is a line of so many fish of the named species.
func some(t testing.TB, name string, count int) Line {
	t.Helper()
	m, err := book(t).Snapshot.Resolve(name)
	if err != nil {
		t.Fatal(err)
	}
	return Line{Index: m.Index, Count: count}
}
