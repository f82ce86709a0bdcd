package sheet

import (
	"strings"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/entry"
)

// column is a column of a sheet as its header says, ready to read cells.
type column struct {
	header string
	key    string                             // of the text, for words
	check  func(*species.Species) string      // for derived columns
	lang   string                             // for names
	order  bool                               // the order of the languages
	value  *value                             // for numbers and their basis
	part   int                                // of the value; len(parts) for the basis
	number func(cell string) (float64, error) // for numbers
}

// header reads the header of a sheet; nil when it is at fault.
func (r *reader) header(line int, cells []string) []column {
	columns := make([]column, len(cells))
	seen := make(map[string]bool, len(cells))
	before := len(*r.Errs)
	for i, cell := range cells {
		c := column{header: strings.TrimSpace(cell)}
		r.Column = c.header
		base, _, _ := strings.Cut(c.header, " [")
		if _, isNames := languageOf(c.header); isNames {
			base = c.header
		}
		switch {
		case seen[base]:
			r.FailAt(line, "", "the column stands twice")
		default:
			r.recognise(line, &c)
		}
		seen[base] = true
		columns[i] = c
	}
	r.Column = ""
	r.complete(line, columns, seen)
	if len(*r.Errs) > before {
		return nil
	}
	return columns
}

// recognise finds what a header stands for.
func (r *reader) recognise(line int, c *column) {
	for _, w := range wordColumns {
		if w.header == c.header {
			c.key = w.key
			return
		}
	}
	c.check = derivedColumns[c.header]
	c.order = c.header == columnOrder
	if language, ok := languageOf(c.header); ok {
		c.lang = language
	}
	if c.check != nil || c.order || c.lang != "" || r.recogniseValue(line, c) {
		return
	}
	if c.header == "" {
		r.FailAt(line, "", "a column has no name")
		return
	}
	r.FailAt(line, "", "unknown column"+nearColumn(c.header))
}

// recogniseValue finds a number or a basis, and the unit of the number.
func (r *reader) recogniseValue(line int, c *column) (known bool) {
	name, unit, hasUnit := strings.Cut(c.header, " [")
	slot, ok := valueSlots[name]
	if !ok {
		return false
	}
	c.value, c.part = slot.value, slot.part
	isBasis := slot.part == len(slot.value.parts)
	unit, closed := strings.CutSuffix(unit, "]")
	switch {
	case isBasis && hasUnit:
		r.FailAt(line, "", "a basis has no unit")
	case isBasis:
	case !hasUnit || !closed:
		r.FailAt(line, "", "the unit is missing: write "+slot.value.header(slot.part)+", or the unit that the column is in")
	default:
		if c.number, ok = Conversion(slot.value.unit, unit); !ok {
			r.FailAt(line, "", entry.Shorten(unit)+" is no unit for it; the catalogue has "+slot.value.unit)
		}
	}
	return true
}

// valueSlot is one column of a value.
type valueSlot struct {
	value *value
	part  int
}

// valueSlots finds the columns of values by their name without the unit.
var valueSlots = func() map[string]valueSlot {
	out := make(map[string]valueSlot, 5*len(values))
	for _, v := range values {
		for part, word := range v.parts {
			out[v.name+" "+word] = valueSlot{v, part}
		}
		out[v.basisHeader()] = valueSlot{v, len(v.parts)}
	}
	return out
}()

// complete checks that the columns that a value needs are all there.
func (r *reader) complete(line int, columns []column, seen map[string]bool) {
	if !seen[columnName] {
		r.FailAt(line, columnName, "the column is missing")
	}
	done := make(map[*value]bool)
	for _, c := range columns {
		v := c.value
		if v == nil || done[v] {
			continue
		}
		done[v] = true
		for part, word := range v.parts {
			if !seen[v.name+" "+word] {
				r.FailAt(line, v.header(part), "the column is missing, and others of "+v.name+" are there")
			}
		}
		if !seen[v.basisHeader()] {
			r.FailAt(line, v.basisHeader(), "the column is missing: every value says what it rests on")
		}
	}
}

// leastSimilar is how alike a column must be to be proposed.
const leastSimilar = 0.6

// nearColumn proposes the column that a header may have meant.
func nearColumn(header string) string {
	name, _, _ := strings.Cut(header, " [")
	best, score := "", leastSimilar
	propose := func(known, shown string) {
		if s := species.Similarity(strings.ToLower(name), strings.ToLower(known)); s > score {
			best, score = shown, s
		}
	}
	for _, w := range wordColumns {
		propose(w.header, w.header)
	}
	for _, h := range []string{columnID, columnGenus, columnRank, columnVulgar} {
		propose(h, h)
	}
	for _, v := range values {
		if name == v.name {
			return "; a value takes several: " + v.header(0) + ", …, " + v.basisHeader()
		}
		for part, word := range v.parts {
			propose(v.name+" "+word, v.header(part))
		}
		propose(v.basisHeader(), v.basisHeader())
	}
	if best == "" {
		return ""
	}
	return "; did you mean " + best + "?"
}
