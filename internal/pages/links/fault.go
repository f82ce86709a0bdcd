package links

import (
	"errors"
	"strconv"
	"unicode"

	"commensal/internal/units"
)

// Fault says what is wrong with one field of a question, in words for the person who
// asked.
type Fault struct {
	Field string // name of the form's field
	Input string // what was written, printable and at most 40 characters
	What  string // what is wrong with it
	Fix   string // what to write instead
}

// Error names the field, what was written and what is wrong.
func (f Fault) Error() string {
	return f.Field + ": " + strconv.Quote(f.Input) + ": " + f.What
}

// faultOf makes a fault of an error of package units.
func faultOf(field, input string, err error) Fault {
	f := Fault{Field: field, Input: Printable(input, 40), What: "it cannot be read"}
	var p *units.ParseError
	if errors.As(err, &p) {
		f.What, f.Fix = p.What, p.Fix
	}
	return f
}

// Printable is the text without control and direction characters, cut to at most n
// characters: fit to be shown back to the person who wrote it.
func Printable(s string, n int) string {
	out := make([]rune, 0, min(len(s), n))
	for _, r := range s {
		if len(out) == n {
			return string(out) + "…"
		}
		if !unicode.IsPrint(r) || unicode.Is(unicode.Bidi_Control, r) {
			r = ' '
		}
		out = append(out, r)
	}
	return string(out)
}
