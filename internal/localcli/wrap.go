package localcli

import (
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

func runes(s string) int { return utf8.RuneCountInString(s) }

// pad fills a text with spaces to a width in characters.
func pad(s string, width int) string { return s + strings.Repeat(" ", max(0, width-runes(s))) }

// wrapTo breaks a text into lines of at most so many characters. The first begins with
// lead, the others with indent. A longer word keeps a line to itself.
func wrapTo(columns int, lead, indent, text string) string {
	var b strings.Builder
	b.WriteString(lead)
	at := runes(lead)
	fresh := true // nothing stands on the line yet but its beginning
	for _, word := range strings.Fields(text) {
		if !fresh && at+1+runes(word) > columns {
			b.WriteString("\n" + indent)
			at, fresh = runes(indent), true
		}
		if !fresh {
			b.WriteByte(' ')
			at++
		}
		b.WriteString(word)
		at, fresh = at+runes(word), false
	}
	return b.String()
}

// number writes a value with at most two decimals and no trailing zeros.
func number(x float64) string { return strconv.FormatFloat(math.Round(x*100)/100, 'f', -1, 64) }
