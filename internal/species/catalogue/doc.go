// Package catalogue reads the catalogue's text format into [species.Catalogue] and
// writes it back. The format is described in db/catalogue/README.md.
//
// Reading is strict and cheap to correct from: every fault of a file is reported at
// once, with its line. It checks form only (keys, words, units, order of numbers); the
// package verify checks content, and takes catalogues from the database as well.
//
// The package does no input or output beyond the [io/fs.FS] and [io.Writer] it is
// given. A value that is absent in the text stays absent.
package catalogue
