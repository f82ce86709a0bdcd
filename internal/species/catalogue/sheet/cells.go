package sheet

import (
	"strings"

	"commensal/internal/species"
)

// valueCells are the columns of one value, by part, the basis last.
type valueCells struct {
	value   *value
	columns []int
}

// values reads all values that the sheet has columns for.
func (w *rowReader) values(s *species.Species) {
	for _, v := range w.valueColumns() {
		w.readValue(v, s)
	}
}

// valueColumns gathers the columns by value, in the order of the sheet.
func (w *rowReader) valueColumns() []valueCells {
	if w.sheet.values != nil {
		return w.sheet.values
	}
	place := make(map[*value]int)
	for i, c := range w.columns {
		if c.value == nil {
			continue
		}
		at, ok := place[c.value]
		if !ok {
			at = len(w.sheet.values)
			place[c.value] = at
			w.sheet.values = append(w.sheet.values, valueCells{c.value, make([]int, len(c.value.parts)+1)})
		}
		w.sheet.values[at].columns[c.part] = i
	}
	return w.sheet.values
}

// readValue reads one value: all of its cells are filled, or none is.
func (w *rowReader) readValue(v valueCells, s *species.Species) {
	numbers := make([]float64, len(v.value.parts))
	filled, ok := 0, true
	for part, i := range v.columns {
		cell := strings.TrimSpace(w.cells[i])
		if cell == "" {
			continue
		}
		filled++
		w.Column = w.columns[i].header
		if part == len(numbers) {
			ok = w.CheckBasis(w.scalar(cell), "", species.Basis(cell)) && ok
		} else {
			numbers[part], ok = w.number(w.columns[i], cell, ok)
		}
	}
	switch {
	case filled == 0:
		v.value.set(s, numbers, "")
	case filled < len(v.columns):
		w.missingCell(v)
	case ok && (v.value.falls || w.inRising(v, numbers)):
		v.value.set(s, numbers, species.Basis(strings.TrimSpace(w.cells[v.columns[len(numbers)]])))
	}
}

func (w *rowReader) number(c column, cell string, ok bool) (float64, bool) {
	x, err := c.number(cell)
	if err != nil {
		w.fault("%s", NumberFault(cell, err))
		return 0, false
	}
	return x, ok
}

// missingCell names the first empty cell of a value whose other cells are filled.
func (w *rowReader) missingCell(v valueCells) {
	for _, i := range v.columns {
		if strings.TrimSpace(w.cells[i]) == "" {
			w.Column = w.columns[i].header
			w.fault("the cell is empty, and others of %s are not", v.value.name)
			return
		}
	}
}

// inRising checks that the numbers of a value do not fall.
func (w *rowReader) inRising(v valueCells, numbers []float64) bool {
	w.Column = w.columns[v.columns[0]].header
	return w.Ascending(w.scalar(""), "", numbers)
}
