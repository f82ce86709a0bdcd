package main

import (
	"fmt"
	"io/fs"
	"os"
	"strings"
	"sync"

	"commensal/db"
	"commensal/internal/conflict"
	"commensal/internal/localcli"
	"commensal/internal/species"
	"commensal/internal/species/catalogue"
	"commensal/internal/species/catalogue/builtin"
	"commensal/internal/species/catalogue/entry"
	"commensal/internal/species/catalogue/lawtext"
	"commensal/internal/species/law"
)

// catalogueFiles is the folder dir, or the one compiled into the binary when dir is
// empty.
func catalogueFiles(dir string) fs.FS {
	if dir != "" {
		return os.DirFS(dir)
	}
	return db.CatalogueFS()
}

// readCatalogue reads the catalogue folder dir, or, when dir is empty, the catalogue compiled
// into the binary, which is there in a form that is read at once.
func readCatalogue(dir string) (species.Catalogue, error) {
	if dir == "" {
		return builtin.Catalogue()
	}
	c, err := catalogue.Parse(os.DirFS(dir))
	return c, inFolder(dir, err)
}

// readPlaced is readCatalogue for verification: problems then have their line.
func readPlaced(dir string) (species.Catalogue, *entry.Places, error) {
	c, places, err := catalogue.ParsePlaced(catalogueFiles(dir))
	return c, places, inFolder(dir, err)
}

// inFolder says which folder an error is about.
func inFolder(dir string, err error) error {
	if err != nil && dir != "" {
		return fmt.Errorf("catalogue in %s: %w", dir, err)
	}
	return err
}

// builtInBook is the book of the built-in catalogue, for offline use.
func builtInBook() (*conflict.Book, error) {
	c, err := readCatalogue("")
	if err != nil {
		return nil, err
	}
	return makeBook(localcli.BuiltInRevision, c)
}

// makeBook prepares a catalogue for lookups.
func makeBook(revision int64, c species.Catalogue) (*conflict.Book, error) {
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

func noteForBuiltIn() string { return builtInNote + " of commensal " + programVersion() }

func isBuiltIn(note string) bool { return strings.HasPrefix(note, builtInNote) }
