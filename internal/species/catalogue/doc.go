// Package catalogue reads the catalogue's text format into [species.Catalogue],
// writes it back, and judges whether a catalogue makes sense. The format is
// described in db/catalogue/README.md.
//
// Reading is strict and cheap to correct from: every fault of a file is reported at
// once, with its line. It checks form only (keys, words, units, order of numbers);
// [Verify] checks content, and takes catalogues from the database as well.
//
// The package does no input or output beyond the [io/fs.FS] and [io.Writer] it is
// given. A value that is absent in the text stays absent.
package catalogue
