// Package db carries the text that the database is made of: the catalogue of
// species and the migrations. Both travel in the binary.
package db

import (
	"embed"
	"io/fs"
)

//go:embed catalogue/*.yaml catalogue/species/*.yaml migrations/*.sql
var files embed.FS

// CatalogueFS is the folder of the built-in catalogue: species/*.yaml, words.yaml
// and sources.yaml, in the format that catalogue/README.md describes.
func CatalogueFS() fs.FS { return folder("catalogue") }

// MigrationsFS is the folder of the migrations, one up and one down file each.
func MigrationsFS() fs.FS { return folder("migrations") }

// folder roots the embedded files at one of the folders named above, which exist
// in every build: a pattern without a match does not compile.
func folder(name string) fs.FS {
	sub, err := fs.Sub(files, name)
	if err != nil {
		panic(err)
	}
	return sub
}
