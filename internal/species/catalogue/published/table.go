package published

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/entry"
	"commensal/internal/species/catalogue/sheet"
)

// MaxBytes is the size of the largest table that is read.
const MaxBytes = 8 << 20

// Table is what a publication says of some kinds.
type Table struct {
	Rows []Row
	// SetAside are the columns that are not compared.
	SetAside []string
}

// Row is one kind in a table.
type Row struct {
	Line     int
	Name     string     // as the table has it
	ID       species.ID // of the catalogue, where the table says it
	Kind     LengthKind // of the length
	measured [numMeasures]measured
}

// measured is one measurement in the unit of the catalogue. What is no range has its number in Low.
type measured struct {
	species.Range
	kind  LengthKind
	known bool
}

type reader struct {
	*entry.Reader
	table *Table
	lines map[string]int // of names, without case
}

// Read reads a table from CSV in UTF-8 with a header: a column scientificName (or name_in_source), at
// will taxonID (or id) with an id of the catalogue, and columns of measurements with their unit. The
// faults come back together as [entry.Errors] with their lines.
func Read(name string, data []byte) (*Table, error) {
	var errs entry.Errors
	r := &reader{Reader: &entry.Reader{File: name, Errs: &errs}, table: &Table{}, lines: make(map[string]int)}
	if r.IsText(data, MaxBytes) {
		r.rows(bytes.TrimPrefix(data, []byte(entry.ByteOrderMark)))
	}
	if err := errs.OrNil(); err != nil {
		return nil, err
	}
	return r.table, nil
}

func (r *reader) rows(data []byte) {
	var columns []column
	r.csvFault(r.Rows(data, func(line int, cells []string) bool {
		columns = r.header(line, cells)
		for _, c := range columns {
			if c.role == setAside {
				r.table.SetAside = append(r.table.SetAside, c.header)
			}
		}
		return columns != nil
	}, func(line int, cells []string) { r.row(line, columns, cells) }))
}

// csvFault records what the CSV reader said, but for the end of the file.
func (r *reader) csvFault(err error) {
	var fault *csv.ParseError
	switch {
	case err == nil:
	case errors.Is(err, io.EOF):
		if len(r.table.Rows) == 0 && len(*r.Errs) == 0 {
			r.FailAt(1, "", "the table holds no row")
		}
	case errors.As(err, &fault):
		r.FailAt(max(fault.Line, 1), "", fmt.Sprintf("not CSV: %v", fault.Err))
	default:
		r.FailAt(1, "", err.Error())
	}
}

// row reads one kind.
func (r *reader) row(line int, columns []column, cells []string) {
	row := Row{Line: line}
	ends := [numMeasures]int{}
	for i, c := range columns {
		cell := strings.TrimSpace(cells[i])
		if cell == "" || c.role == setAside {
			continue
		}
		r.Column = c.header
		switch c.role {
		case nameRole:
			row.Name = cell
		case idRole:
			row.ID = species.ID(cell)
		case kindRole:
			r.kind(&row, cell)
		default:
			row.Line = line
			r.number(&row, c, cell, &ends)
		}
	}
	r.Column = ""
	if r.sound(&row, ends) {
		r.table.Rows = append(r.table.Rows, row)
	}
}

// kind reads the kind of the length.
func (r *reader) kind(row *Row, cell string) {
	kind, ok := kindWords[strings.ToLower(cell)]
	if !ok {
		r.FailAt(row.Line, "", entry.Shorten(cell)+" is no kind of length: write TL, SL, FL or WD, or leave it empty where it is not said")
	}
	row.Kind = kind
}

// number reads one measurement.
func (r *reader) number(row *Row, c column, cell string, ends *[numMeasures]int) {
	x, err := c.number(cell)
	if err != nil {
		r.FailAt(row.Line, "", sheet.NumberFault(cell, err))
		return
	}
	m := &row.measured[c.of]
	ranged := measureInfos[c.of].ranged
	switch {
	case !ranged && x <= 0:
		r.FailAt(row.Line, "", entry.Shorten(cell)+" is not above zero")
	case !ranged && m.known:
		r.FailAt(row.Line, "", "the row has two lengths of different kinds: keep the one that was measured")
	case c.role == highRole:
		m.High = x
	default:
		m.Low = x
	}
	m.known = true
	if c.says {
		m.kind = c.kind
	}
	ends[c.of]++
}

// sound checks a row as a whole.
func (r *reader) sound(row *Row, ends [numMeasures]int) bool {
	before := len(*r.Errs)
	if row.Name == "" {
		r.FailAt(row.Line, "scientificName", "the row has no name")
		return false
	}
	key := strings.ToLower(strings.Join(strings.Fields(row.Name), " "))
	if first, again := r.lines[key]; again {
		r.FailAt(row.Line, "scientificName", fmt.Sprintf("%s stands on line %d already", row.Name, first))
	} else {
		r.lines[key] = row.Line
	}
	for i, info := range measureInfos {
		m := row.measured[i]
		switch {
		case info.ranged && ends[i] == 1:
			r.FailAt(row.Line, info.field, "one end of the range is empty")
		case info.ranged && m.known && m.Low > m.High:
			r.FailAt(row.Line, info.field, fmt.Sprintf("the range is upside down: %s to %s", entry.FormatNumber(m.Low), entry.FormatNumber(m.High)))
		}
	}
	length := &row.measured[maximumLength]
	switch {
	case length.kind == UnsaidLength:
		length.kind = row.Kind
	case length.known && row.Kind != UnsaidLength && row.Kind != length.kind:
		r.FailAt(row.Line, "length", fmt.Sprintf("the kinds of length are mixed: the header says %s, the row %s", length.kind, row.Kind))
	}
	return len(*r.Errs) == before
}
