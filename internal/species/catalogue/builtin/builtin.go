// Package builtin is the catalogue that every program of ours carries.
package builtin

import (
	"commensal/db"
	"commensal/internal/species"
	"commensal/internal/species/catalogue/packed"
)

// Catalogue reads the built-in catalogue, which is there as bytes that are read at once. Every call
// makes new entries, whose texts are shared. The bytes are those of this very build: an error can only
// mean that they were made by hand.
func Catalogue() (species.Catalogue, error) { return packed.Decode(db.PackedCatalogue()) }

// Edition numbers the built-in catalogues: that of a later build has a higher number, or is the same.
func Edition() (int, error) { return db.CatalogueEdition() }
