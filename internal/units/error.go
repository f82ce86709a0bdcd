package units

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Code says in one word what was wrong with an input; programs switch on it.
type Code string

// The codes of a [ParseError].
const (
	TooLong     Code = "too_long"     // more than MaxInput bytes
	NotText     Code = "not_text"     // invalid UTF-8 or a control character
	Empty       Code = "empty"        // nothing but spaces
	NotANumber  Code = "not_a_number" // no plain decimal number in front
	Signed      Code = "signed"       // a plus or minus sign
	Comma       Code = "comma"        // a decimal comma or thousands separator
	Exponent    Code = "exponent"     // 1e3
	Hexadecimal Code = "hexadecimal"  // 0x10
	NoUnit      Code = "no_unit"      // a bare number where no unit is implied
	UnknownUnit Code = "unknown_unit" // not a unit of this quantity
	OutOfRange  Code = "out_of_range" // zero, or beyond what the quantity allows
	WrongParts  Code = "wrong_parts"  // a tank size without exactly three parts
)

// MaxInput is the longest input in bytes that any parser looks at.
const MaxInput = 64

// maxEcho is the most runes of an input that an error repeats.
const maxEcho = 40

// ParseError reports an input that could not be read as a quantity.
type ParseError struct {
	Code  Code
	Input string // at most 40 runes, printable
	What  string // what was wrong, without the input
	Fix   string // how to write it
}

// Error is one line with the input quoted.
func (e *ParseError) Error() string {
	return fmt.Sprintf("%q: %s; %s", e.Input, e.What, e.Fix)
}

func parseError(code Code, input, what, fix string) *ParseError {
	return &ParseError{Code: code, Input: echo(input), What: what, Fix: fix}
}

// echo is the part of an input that is safe to repeat: at most maxEcho runes, with
// the end marked when cut, and a replacement character for all that cannot be
// printed (control and format characters, broken UTF-8).
func echo(input string) string {
	var b strings.Builder
	for n := 0; input != ""; n++ {
		r, width := utf8.DecodeRuneInString(input)
		if n == maxEcho-1 && width < len(input) {
			b.WriteRune('…')
			break
		}
		if !unicode.IsGraphic(r) {
			r = utf8.RuneError
		}
		b.WriteRune(r)
		input = input[width:]
	}
	return b.String()
}
