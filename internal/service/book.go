package service

import (
	"strings"
	"sync"

	"commensal/db"
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/species/catalogue/lawtext"
	"commensal/internal/species/law"
)

// MakeBook prepares a catalogue for lookups: with the model and the published rules that the program
// carries.
func MakeBook(revision int64, c species.Catalogue) (*conflict.Book, error) {
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
	return conflict.NewBook(model, snapshot).UnderLaw(rules), nil
}

// publishedLaw are the published rules compiled into the binary, which hold for every catalogue.
var publishedLaw = sync.OnceValues(func() ([]law.Rule, error) { return lawtext.Read(db.CatalogueFS(), nil) })

// builtInNote begins the note of every revision that came out of a binary, so that
// a later binary knows what it may replace.
const builtInNote = "built-in catalogue"

// BuiltInNote is the note of a revision that came out of the binary of a version.
func BuiltInNote(version string) string { return builtInNote + " of commensal " + version }

func isBuiltIn(note string) bool { return strings.HasPrefix(note, builtInNote) }
