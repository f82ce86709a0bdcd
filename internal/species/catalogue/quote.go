package catalogue

import (
	"bytes"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

// writeText writes a text as a YAML scalar: as it stands where no reader could
// take it for anything else, in double quotes otherwise.
func writeText(b *bytes.Buffer, text string, inList bool) {
	if isPlain(text, inList) {
		b.WriteString(text)
		return
	}
	b.WriteByte('"')
	for _, c := range text {
		switch {
		case c == '"' || c == '\\':
			b.WriteByte('\\')
			b.WriteRune(c)
		case unicode.IsPrint(c):
			b.WriteRune(c)
		case c <= 0xffff:
			fmt.Fprintf(b, `\u%04x`, c)
		default:
			fmt.Fprintf(b, `\U%08x`, c)
		}
	}
	b.WriteByte('"')
}

// reserved are the words that some version of YAML takes for something else than
// text.
var reserved = map[string]bool{
	"true": true, "false": true, "yes": true, "no": true, "on": true, "off": true,
	"y": true, "n": true, "null": true, "nan": true, "inf": true,
}

// isPlain reports whether a text needs no quotes: letters first, then letters,
// digits, single blanks and marks that mean nothing to YAML where they stand. In a
// list on one line a comma would end the item.
func isPlain(text string, inList bool) bool {
	first, _ := utf8.DecodeRuneInString(text)
	if !unicode.IsLetter(first) || reserved[strings.ToLower(text)] {
		return false
	}
	last := first
	for _, c := range text {
		switch {
		case last == ':' && !unicode.IsLetter(c), last == ' ' && c == ' ', inList && (c == ',' || c == ':'):
			return false
		case c != ' ' && !isWordRune(c) && !strings.ContainsRune("-_.,;:/()'’", c):
			return false
		}
		last = c
	}
	return last != ' ' && last != ':'
}

func isWordRune(c rune) bool { return unicode.In(c, unicode.L, unicode.M, unicode.Nd) }
