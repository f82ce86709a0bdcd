// Package entry is what one entry of the catalogue consists of, for every form that it
// is written in: its keys in their order, the words allowed under them, how a value is
// read and written, and the faults of a reading with their places.
package entry
