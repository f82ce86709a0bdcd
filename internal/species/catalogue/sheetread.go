package catalogue

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"

	"commensal/internal/species"
)

// The largest sheet and the longest cell that are read, in bytes. A sheet of ten
// thousand entries has about half of the former.
const (
	MaxSheet = 32 << 20
	MaxCell  = 16 << 10
)

// Sheet is what a CSV file says of some entries.
type Sheet struct {
	Entries []*species.Species // in the order of the rows
	Places  *Places            // each entry stands at the line of its row

	values []valueCells // the columns of each value
}

// ReadSheet reads entries from CSV with a header, in UTF-8 with or without a byte
// order mark, with any line ends. A row of an entry that base has starts from what is
// there: what the sheet has no column for stays, and an empty cell says that the value
// is not known. Other rows are new entries.
//
// The faults come back together as [Errors] with their lines, each with the column in
// its Field; then there is no sheet. Like [Parse] it checks form only: see
// [Sheet.Into] and [VerifyPlaced].
func ReadSheet(name string, data []byte, base species.Catalogue) (*Sheet, error) {
	return readSheet(name, data, base.Species, MaxSheet)
}

func readSheet(name string, data []byte, base []*species.Species, most int) (*Sheet, error) {
	var errs Errors
	r := &reader{file: name, errs: &errs}
	if r.isText(data, most) {
		r.sheet = &Sheet{Places: newPlaces()}
		r.rows(bytes.TrimPrefix(data, []byte(byteOrderMark)), base)
	}
	if err := errs.orNil(); err != nil {
		return nil, err
	}
	return r.sheet, nil
}

// rows reads the header and then all rows.
func (r *reader) rows(data []byte, base []*species.Species) {
	in := csv.NewReader(bytes.NewReader(data))
	in.FieldsPerRecord, in.ReuseRecord = -1, true
	cells, err := in.Read()
	if err != nil {
		r.csvFault(err)
		return
	}
	line, _ := in.FieldPos(0)
	if len(cells) == 1 && strings.ContainsAny(cells[0], ";\t") {
		r.failAt(line, "", "the columns are not separated by commas")
		return
	}
	columns := r.header(line, cells)
	if columns == nil {
		return
	}
	b := newSheetBase(base)
	for {
		cells, err := in.Read()
		if err != nil {
			r.csvFault(err)
			return
		}
		line, _ := in.FieldPos(0)
		r.row(line, columns, cells, b)
	}
}

// csvFault records what the CSV reader said, but for the end of the file.
func (r *reader) csvFault(err error) {
	var fault *csv.ParseError
	switch {
	case errors.Is(err, io.EOF):
		if r.sheet != nil && len(r.sheet.Entries) == 0 && len(*r.errs) == 0 {
			r.failAt(1, "", "the file holds no entry")
		}
	case errors.As(err, &fault):
		r.failAt(max(fault.Line, 1), "", fmt.Sprintf("not CSV at byte %d of line %d: %v", fault.Column, fault.Line, fault.Err))
	default:
		r.failAt(1, "", err.Error())
	}
}

// sheetBase finds the entries there are, and the rows there have been.
type sheetBase struct {
	entries map[species.ID]*species.Species
	lines   map[species.ID]int
}

func newSheetBase(base []*species.Species) sheetBase {
	b := sheetBase{make(map[species.ID]*species.Species, len(base)), make(map[species.ID]int)}
	for _, s := range base {
		b.entries[s.ID] = s
	}
	return b
}

// row reads one entry. A row without any content is what spreadsheets leave behind.
func (r *reader) row(line int, columns []sheetColumn, cells []string, b sheetBase) {
	if strings.TrimSpace(strings.Join(cells, "")) == "" {
		return
	}
	if len(cells) != len(columns) {
		r.failAt(line, "", fmt.Sprintf("the row has %d cells, and the header %d", len(cells), len(columns)))
		return
	}
	row := &sheetRow{reader: r, line: line, columns: columns, cells: cells}
	id := row.id()
	if first, again := b.lines[id]; again {
		r.failAt(line, columnName, fmt.Sprintf("%s stands on line %d already", id, first))
		return
	}
	b.lines[id] = line
	s := row.entry(b.entries[id])
	r.sheet.Entries = append(r.sheet.Entries, s)
	r.sheet.Places.entries[s] = entryPlace{r.file, map[string]int{"": line}}
}
