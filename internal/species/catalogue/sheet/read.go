package sheet

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/entry"
)

// The largest sheet and the longest cell that are read, in bytes. A sheet of ten
// thousand entries has about half of the former.
const (
	MaxBytes = 32 << 20
	MaxCell  = 16 << 10
)

// Sheet is what a CSV file says of some entries.
type Sheet struct {
	Entries []*species.Species // in the order of the rows
	Places  *entry.Places      // each entry stands at the line of its row

	values []valueCells // the columns of each value
}

// reader reads the rows of a sheet with what reads the values of an entry.
type reader struct {
	*entry.Reader
	sheet *Sheet
}

// Read reads entries from CSV with a header, in UTF-8 with or without a byte
// order mark, with any line ends. A row of an entry that base has starts from what is
// there: what the sheet has no column for stays, and an empty cell says that the value
// is not known. Other rows are new entries.
//
// The faults come back together as [entry.Errors] with their lines, each with the column in
// its Field; then there is no sheet. Like the reader of the text it checks form only: see
// [Sheet.Into], and the package verify.
func Read(name string, data []byte, base species.Catalogue) (*Sheet, error) {
	return readAtMost(name, data, base.Species, MaxBytes)
}

func readAtMost(name string, data []byte, base []*species.Species, most int) (*Sheet, error) {
	var errs entry.Errors
	r := &reader{Reader: &entry.Reader{File: name, Errs: &errs}}
	if r.IsText(data, most) {
		r.sheet = &Sheet{Places: entry.NewPlaces()}
		r.rows(bytes.TrimPrefix(data, []byte(entry.ByteOrderMark)), base)
	}
	if err := errs.OrNil(); err != nil {
		return nil, err
	}
	return r.sheet, nil
}

// rows reads the header and then all rows.
func (r *reader) rows(data []byte, base []*species.Species) {
	var columns []column
	b := newKnown(base)
	r.csvFault(r.Rows(data, func(line int, cells []string) bool {
		columns = r.header(line, cells)
		return columns != nil
	}, func(line int, cells []string) { r.row(line, columns, cells, b) }))
}

// csvFault records what the CSV reader said, but for the end of the file.
func (r *reader) csvFault(err error) {
	var fault *csv.ParseError
	switch {
	case err == nil:
	case errors.Is(err, io.EOF):
		if r.sheet != nil && len(r.sheet.Entries) == 0 && len(*r.Errs) == 0 {
			r.FailAt(1, "", "the file holds no entry")
		}
	case errors.As(err, &fault):
		r.FailAt(max(fault.Line, 1), "", fmt.Sprintf("not CSV at byte %d of line %d: %v", fault.Column, fault.Line, fault.Err))
	default:
		r.FailAt(1, "", err.Error())
	}
}

// known are the entries there are and the lines of the rows there have been, by id.
type known struct {
	entries map[species.ID]*species.Species
	lines   map[species.ID]int
}

func newKnown(base []*species.Species) known {
	b := known{make(map[species.ID]*species.Species, len(base)), make(map[species.ID]int)}
	for _, s := range base {
		b.entries[s.ID] = s
	}
	return b
}

// row reads one entry.
func (r *reader) row(line int, columns []column, cells []string, b known) {
	row := &rowReader{reader: r, line: line, columns: columns, cells: cells}
	id := row.id()
	if first, again := b.lines[id]; again {
		r.FailAt(line, columnName, fmt.Sprintf("%s stands on line %d already", id, first))
		return
	}
	b.lines[id] = line
	s := row.entry(b.entries[id])
	r.sheet.Entries = append(r.sheet.Entries, s)
	r.sheet.Places.Note(s, r.File, line)
}
