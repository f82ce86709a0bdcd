package db

import _ "embed" // for the packed catalogue

// The packed catalogue is made of the folder catalogue whenever that changes.
//
//go:generate go run ../cmd/packcatalogue -from catalogue -to catalogue.packed

//go:embed catalogue.packed
var packedCatalogue string

// PackedCatalogue is the built-in catalogue in the bytes of the package packed.
func PackedCatalogue() string { return packedCatalogue }
