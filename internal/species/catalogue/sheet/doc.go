// Package sheet reads and writes entries as CSV, one entry a row, for people who keep
// theirs in a spreadsheet. The columns are described in db/catalogue/README.md.
package sheet
