// Package words holds what the pages themselves say: headings, labels, hints, the names
// of pictures' parts and the explanations of codes. What is said of fish comes from the
// core's tables. A second language is a second table.
package words

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Words are the phrases of one language. The zero value is not usable: see [English].
type Words struct {
	lang    string
	phrases map[string]string
}

var english = Words{"en", merged(englishPages, englishForms, englishPictures, englishTraits, englishKinds, englishReasons)}

// English are the English phrases.
func English() Words { return english }

func merged(tables ...map[string]string) map[string]string {
	all := map[string]string{}
	for _, t := range tables {
		maps.Copy(all, t)
	}
	return all
}

// Language is the BCP 47 tag.
func (w Words) Language() string { return w.lang }

// Has reports whether there is a phrase for the key.
func (w Words) Has(key string) bool {
	_, ok := w.phrases[key]
	return ok
}

// Say is the phrase for a key. The arguments are names and values in turn; each name in
// braces in the phrase is replaced by its value. A key or a name that is missing stays
// visible in braces, so that a slip shows in the tests.
func (w Words) Say(key string, args ...any) string {
	phrase, ok := w.phrases[key]
	if !ok {
		return "{" + key + "}"
	}
	if len(args) == 0 || strings.IndexByte(phrase, '{') < 0 {
		return phrase
	}
	return fill(phrase, args)
}

// fill replaces the names in braces that the arguments give, once each from the left, so
// that braces in a value stay what they are.
func fill(phrase string, args []any) string {
	var b strings.Builder
	b.Grow(len(phrase) + 32)
	for {
		before, rest, ok := strings.Cut(phrase, "{")
		b.WriteString(before)
		if !ok {
			return b.String()
		}
		name, after, closed := strings.Cut(rest, "}")
		if value, known := lookUp(name, args); closed && known {
			b.WriteString(value)
			phrase = after
			continue
		}
		b.WriteByte('{')
		phrase = rest
	}
}

func lookUp(name string, args []any) (string, bool) {
	for i := 0; i+1 < len(args); i += 2 {
		if args[i] == any(name) {
			return text(args[i+1]), true
		}
	}
	return "", false
}

// SayOr is the phrase for a key, or another text where there is none.
func (w Words) SayOr(key, other string) string {
	if s, ok := w.phrases[key]; ok {
		return s
	}
	return other
}

// Count is the phrase for one or for many: key.one or key.many, with {count}.
func (w Words) Count(key string, n int) string {
	if n == 1 {
		return w.Say(key+".one", "count", n)
	}
	return w.Say(key+".many", "count", n)
}

func text(v any) string {
	switch v := v.(type) {
	case string:
		return v
	case int:
		return strconv.Itoa(v)
	case float64:
		return Number(v)
	}
	return fmt.Sprint(v)
}

// Number writes a number with at most two decimals, and a real minus.
func Number(x float64) string {
	s := strconv.FormatFloat(x, 'f', 2, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		return "0"
	}
	return strings.Replace(s, "-", "−", 1)
}

// Keys lists every key, for tests.
func (w Words) Keys() []string {
	return slices.Collect(maps.Keys(w.phrases))
}

// Clip shortens a text to at most n characters.
func Clip(s string, n int) string {
	if utf8.RuneCountInString(s) <= n {
		return s
	}
	return strings.TrimRight(string([]rune(s)[:n-1]), " ") + "…"
}

// Join lists texts as a sentence does: "a", "a and b", "a, b and c".
func (w Words) Join(list []string) string {
	switch n := len(list); n {
	case 0:
		return ""
	case 1:
		return list[0]
	default:
		return strings.Join(list[:n-1], ", ") + w.Say("and") + list[n-1]
	}
}
