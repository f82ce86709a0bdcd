package verify

import (
	"strings"
	"unicode"

	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"
)

// fold brings a name to the form in which two names are the same for the reader of
// a list: no case, no diacritics, no apostrophes, single blanks between words.
func fold(name string) string {
	var b strings.Builder
	gap := false
	for _, c := range norm.NFKD.String(strings.Map(unicode.ToLower, cases.Fold().String(norm.NFKD.String(name)))) {
		switch {
		case unicode.In(c, unicode.Mn, unicode.Me, unicode.Cf) || c == '\'' || c == '’' || c == '`':
		case unicode.IsLetter(c) || unicode.IsNumber(c) || unicode.Is(unicode.Mc, c):
			if gap && b.Len() > 0 {
				b.WriteByte(' ')
			}
			gap = false
			b.WriteRune(c)
		default:
			gap = true
		}
	}
	return b.String()
}
