package terminal

import (
	"cmp"
	"io"
	"strings"
	"unicode/utf8"
)

// gap is how many blanks stand between two columns.
const gap = 2

// leastColumn is the least width in characters that a column is narrowed to.
const leastColumn = 8

// WriteTable writes rows of cells under each other, each column as wide as its widest cell, two blanks between them. Where a line
// has no more than columns characters, the widest columns are narrowed, and what does not fit into a cell goes on below it; columns
// of 0 is no limit. So nothing is left out, and every line fits where columns of eight characters do.
func WriteTable(w io.Writer, columns int, rows [][]string) error {
	widths := widthsOf(rows)
	if columns > 0 {
		narrow(widths, columns)
	}
	var b strings.Builder
	for _, row := range rows {
		writeRow(&b, widths, row)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func widthsOf(rows [][]string) (widths []int) {
	for _, row := range rows {
		for i, cell := range row {
			if i == len(widths) {
				widths = append(widths, 0)
			}
			widths[i] = max(widths[i], utf8.RuneCountInString(cell))
		}
	}
	return widths
}

// narrow takes from the widest column again and again until all fit.
func narrow(widths []int, columns int) {
	for {
		total, widest := gap*(len(widths)-1), 0
		for i, n := range widths {
			total += n
			if n > widths[widest] {
				widest = i
			}
		}
		if total <= columns || widths[widest] <= leastColumn {
			return
		}
		widths[widest]--
	}
}

// writeRow writes a row on as many lines as its longest cell takes.
func writeRow(b *strings.Builder, widths []int, row []string) {
	cells, lines := make([][]string, len(row)), 1
	for i, cell := range row {
		cells[i] = broken(cell, widths[i])
		lines = max(lines, len(cells[i]))
	}
	for k := range lines {
		line, at := "", 0
		for i := range cells {
			piece := ""
			if k < len(cells[i]) {
				piece = cells[i][k]
			}
			line += strings.Repeat(" ", max(0, at-utf8.RuneCountInString(line))) + piece
			at += widths[i] + gap
		}
		b.WriteString(strings.TrimRight(line, " ") + "\n")
	}
}

// lastCut is the last place up to a width where a text may be broken; 0 for none.
func lastCut(text []rune, width int, may func(before, after rune) bool) int {
	for i := width; i > 0; i-- {
		if may(text[i-1], text[i]) {
			return i
		}
	}
	return 0
}

// broken is a cell in pieces of at most width characters: at blanks, behind commas and hyphens where there are any, else anywhere.
func broken(cell string, width int) (pieces []string) {
	rest := []rune(cell)
	for len(rest) > width {
		cut := cmp.Or(lastCut(rest, width, func(before, after rune) bool { return after == ' ' || before == ',' }),
			lastCut(rest, width, func(before, _ rune) bool { return before == '-' }), width)
		pieces = append(pieces, string(rest[:cut]))
		rest = []rune(strings.TrimLeft(string(rest[cut:]), " "))
	}
	return append(pieces, string(rest))
}
