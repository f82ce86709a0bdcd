// Package verify judges whether a catalogue makes sense: ranges, words, names, and
// values against each other and against those of the genus. It takes catalogues from
// the text, from a sheet and from the database alike.
package verify
