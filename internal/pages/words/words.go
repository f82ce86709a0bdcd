// Package words holds what the pages themselves say: headings, labels, hints, the names
// of pictures' parts and the explanations of codes. What is said of fish comes from the
// core's tables. A second language is a second table.
package words

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Words are the phrases of one language. The zero value is not usable: see [English].
type Words struct {
	lang   string
	tables []map[string]string
}

// English are the English phrases.
func English() Words {
	return Words{"en", []map[string]string{englishPages, englishForms, englishPictures, englishTraits, englishKinds, englishReasons}}
}

// Language is the BCP 47 tag.
func (w Words) Language() string { return w.lang }

// Has reports whether there is a phrase for the key.
func (w Words) Has(key string) bool {
	_, ok := w.find(key)
	return ok
}

func (w Words) find(key string) (string, bool) {
	for _, t := range w.tables {
		if s, ok := t[key]; ok {
			return s, true
		}
	}
	return "", false
}

// Say is the phrase for a key. The arguments are names and values in turn; each name in
// braces in the phrase is replaced by its value. A key or a name that is missing stays
// visible in braces, so that a slip shows in the tests.
func (w Words) Say(key string, args ...any) string {
	phrase, ok := w.find(key)
	if !ok {
		return "{" + key + "}"
	}
	if len(args) == 0 {
		return phrase
	}
	pairs := make([]string, 0, len(args))
	for i := 0; i+1 < len(args); i += 2 {
		pairs = append(pairs, "{"+fmt.Sprint(args[i])+"}", text(args[i+1]))
	}
	return strings.NewReplacer(pairs...).Replace(phrase)
}

// SayOr is the phrase for a key, or another text where there is none.
func (w Words) SayOr(key, other string) string {
	if s, ok := w.find(key); ok {
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
	var out []string
	for _, t := range w.tables {
		for k := range t {
			out = append(out, k)
		}
	}
	return out
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
