package spelling

import (
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"
)

// usualName is the length in bytes of the longest name that is brought to its normal form in one piece of memory.
const usualName = 200

// Normal brings a name to the form names are compared in: compatibility forms
// decomposed, diacritics dropped, case folded, apostrophes dropped, and every run
// of anything but letters and digits turned into one space.
//
// Two names with the same normal form are the same name. The normal form of a
// normal form is itself.
func Normal(name string) string {
	var buf [usualName]byte
	if key, ok := NormalASCII(buf[:0], name); ok {
		return string(key)
	}
	return Squash(Fold(name))
}

// NormalASCII appends the normal form of an ASCII name to dst; ok is false when
// the name has other characters. It allocates nothing when dst has room.
func NormalASCII(dst []byte, name string) (key []byte, ok bool) {
	space := false
	for i := range len(name) {
		c := name[i]
		switch {
		case c >= utf8.RuneSelf:
			return nil, false
		case 'A' <= c && c <= 'Z':
			c += 'a' - 'A'
		case 'a' <= c && c <= 'z', '0' <= c && c <= '9':
		case isApostrophe(rune(c)):
			continue
		default:
			space = true
			continue
		}
		if space && len(dst) > 0 {
			dst = append(dst, ' ')
		}
		space = false
		dst = append(dst, c)
	}
	return dst, true
}

// Fold drops diacritics and case but keeps the punctuation, which carries meaning
// around author names and abbreviated genera. One kind of apostrophe remains. Lower
// case comes last because the folding of package cases swaps the two cases of Cherokee.
func Fold(name string) string {
	if isASCII(name) { // nothing to take apart
		return strings.ReplaceAll(strings.ToLower(name), "`", "'")
	}
	if plain, ok := foldLatin(name); ok {
		return plain
	}
	return foldAny(name)
}

// latinEnd is the first character behind the letters of Latin with their marks.
const latinEnd = 0x250

// latin are the characters up to there, folded one by one, which changes nothing: none of them is a mark that
// would be put in order with another.
var latin = sync.OnceValue(func() []string {
	folded := make([]string, latinEnd)
	for r := range folded {
		folded[r] = foldAny(string(rune(r)))
	}
	return folded
})

// foldLatin is foldAny of a name in Latin letters; ok is false where it has others.
func foldLatin(name string) (folded string, ok bool) {
	for _, r := range name {
		if r >= latinEnd {
			return "", false
		}
	}
	letters := latin()
	var b strings.Builder
	b.Grow(len(name))
	for _, r := range name {
		b.WriteString(letters[r])
	}
	return b.String(), true
}

func isASCII(s string) bool {
	for i := range len(s) {
		if s[i] >= utf8.RuneSelf {
			return false
		}
	}
	return true
}

func foldAny(name string) string {
	return decompose(strings.Map(unicode.ToLower, cases.Fold().String(decompose(name))))
}

// decompose takes characters apart and drops the marks and invisible characters.
func decompose(s string) string {
	s = strings.Map(func(r rune) rune {
		if isApostrophe(r) { // before decomposition, which makes a space of some
			return '\''
		}
		return r
	}, s)
	var b strings.Builder
	for _, r := range norm.NFKD.String(s) {
		switch plain, special := plainLetters[r]; {
		case special:
			b.WriteString(plain)
		case unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf):
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// Squash keeps letters, digits and spacing marks, drops apostrophes and turns
// everything else into single spaces.
func Squash(folded string) string {
	var b strings.Builder
	space := false
	for _, r := range folded {
		switch {
		case isApostrophe(r):
			continue
		case unicode.In(r, unicode.L, unicode.N, unicode.Mc):
		default:
			space = true
			continue
		}
		if space && b.Len() > 0 {
			b.WriteByte(' ')
		}
		space = false
		b.WriteRune(r)
	}
	return b.String()
}

// plainLetters spells letters with strokes and joined letters, which Unicode does
// not decompose, as people without such a keyboard do.
var plainLetters = map[rune]string{
	'ø': "o", 'Ø': "o", 'ł': "l", 'Ł': "l", 'đ': "d", 'Đ': "d", 'ħ': "h", 'Ħ': "h", 'ı': "i",
	'æ': "ae", 'Æ': "ae", 'œ': "oe", 'Œ': "oe", 'ð': "d", 'Ð': "d", 'þ': "th", 'Þ': "th",
}

// isApostrophe reports the characters people type for an apostrophe, the Hawaiian
// okina among them.
func isApostrophe(r rune) bool {
	switch r {
	case '\'', '`', '´', '’', '‘', '‛', 'ʼ', 'ʻ', 'ʹ', '′', '＇':
		return true
	}
	return false
}
