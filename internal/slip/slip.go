// Package slip lays short answers out as plain text: in lines of 42 characters for a till's printer, or as wide as a
// terminal is. It knows the wire format of the API and nothing behind it.
package slip

import (
	"strconv"
	"strings"
)

// Columns is how many characters stand on a line of a slip.
const Columns = 42

// Writer gathers lines of a width.
type Writer struct {
	b     strings.Builder
	width int
}

// minWidth is the narrowest line that words fit on.
const minWidth = 20

// New makes a writer of lines of at most width characters.
func New(width int) *Writer { return &Writer{width: max(width, minWidth)} }

// String is the text so far.
func (w *Writer) String() string { return w.b.String() }

// Rule draws a line across.
func (w *Writer) Rule() { w.b.WriteString(strings.Repeat("-", w.width) + "\n") }

// Text writes a text in as many lines as it takes. The first begins with lead, the others with as many blanks
// as indent says. A word that is longer than a line is broken.
func (w *Writer) Text(lead string, indent int, text string) {
	line := []rune(lead)
	for word := range strings.FieldsSeq(text) {
		rest := []rune(word)
		if blank := len(line) > 0 && line[len(line)-1] != ' '; blank && len(line)+1+len(rest) <= w.width {
			line = append(line, ' ')
		} else if (blank || len(line)+len(rest) > w.width) && strings.TrimSpace(string(line)) != "" {
			w.line(line)
			line = blanks(indent)
		}
		for len(line)+len(rest) > w.width {
			room := w.width - len(line)
			w.line(append(line, rest[:room]...))
			line, rest = blanks(indent), rest[room:]
		}
		line = append(line, rest...)
	}
	w.line(line)
}

func (w *Writer) line(line []rune) {
	w.b.WriteString(strings.TrimRight(string(line), " ") + "\n")
}

func blanks(n int) []rune { return []rune(strings.Repeat(" ", n)) }

// sentence is a summary without the decision at its head, which stands on a line of its own.
func sentence(summary, decision string) string {
	if head, rest, ok := strings.Cut(summary, ": "); ok && strings.EqualFold(head, decision) {
		return rest
	}
	return summary
}

// foot names what was answered from.
func (w *Writer) foot(model string, revision int64) {
	w.Text("", 2, "Catalogue "+strconv.FormatInt(revision, 10)+", model "+model+".")
}
