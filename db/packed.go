package db

import (
	_ "embed" // for the packed catalogue
	"fmt"
)

// The packed catalogue is made of the folder catalogue whenever that changes, and the edition counts its
// changes.
//
//go:generate go run ../cmd/packcatalogue -from catalogue -to catalogue.packed -edition catalogue.edition -animals ../internal/species/animals.gen.go

//go:embed catalogue.packed
var packedCatalogue string

//go:embed catalogue.edition
var edition string

// PackedCatalogue is the built-in catalogue in the bytes of the package packed.
func PackedCatalogue() string { return packedCatalogue }

// CatalogueEdition is the edition of the built-in catalogue, from 1: a later one has a higher number. The
// file is that of this very build: an error can only mean that it was made by hand.
func CatalogueEdition() (number int, err error) {
	if _, err := fmt.Sscanf(edition, "%d ", &number); err != nil || number < 1 {
		return 0, fmt.Errorf("db/catalogue.edition does not begin with a number from 1: %w", err)
	}
	return number, nil
}
