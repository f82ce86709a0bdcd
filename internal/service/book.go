package service

import (
	"sync"

	"commensal/db"
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/species/catalogue/builtin"
	"commensal/internal/species/catalogue/lawtext"
	"commensal/internal/species/law"
	"commensal/internal/store"
)

// MakeBook prepares a catalogue for lookups: with the model and the published rules that the program
// carries.
func MakeBook(revision int64, c species.Catalogue) (*conflict.Book, error) {
	return makeBook(revision, c, conflict.NewBook)
}

// BookAsAsked is [MakeBook] for a program that ends after a question or two, see [conflict.BookAsAsked].
func BookAsAsked(revision int64, c species.Catalogue) (*conflict.Book, error) {
	return makeBook(revision, c, conflict.BookAsAsked)
}

func makeBook(revision int64, c species.Catalogue, bind func(*conflict.Model, *species.Snapshot) *conflict.Book) (*conflict.Book, error) {
	snapshot, err := species.NewSnapshot(revision, c)
	if err != nil {
		return nil, err
	}
	model, err := conflict.Default()
	if err != nil {
		return nil, err
	}
	rules, err := publishedLaw()
	if err != nil {
		return nil, err
	}
	return bind(model, snapshot).UnderLaw(rules), nil
}

// publishedLaw are the published rules compiled into the binary, which hold for every catalogue.
var publishedLaw = sync.OnceValues(func() ([]law.Rule, error) { return lawtext.Read(db.CatalogueFS(), nil) })

// BuiltInEdition is the edition of the catalogue that the binary of a version carries.
func BuiltInEdition(version string) (store.Edition, error) {
	number, err := builtin.Edition()
	return store.Edition{Number: number, Version: version}, err
}
