package main

import (
	"fmt"
	"io/fs"
	"os"

	"commensal/db"
	"commensal/internal/conflict"
	"commensal/internal/localcli"
	"commensal/internal/service"
	"commensal/internal/species"
	"commensal/internal/species/catalogue"
	"commensal/internal/species/catalogue/builtin"
	"commensal/internal/species/catalogue/entry"
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
	return service.BookAsAsked(localcli.BuiltInRevision, c)
}
