package wording

import (
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// Names in the sentences of this package stand in lower case, plural, as a shop assistant says them:
// {kinds} are all kinds of a finding, {n_kinds} the kind with the number in front that the evidence
// calls count, {word} what the caller wrote. Where a sentence is of two kinds that stand against each
// other it says {actors} and {others}, which package conflict fills as in its own.

// maxNamed is how many kinds a sentence names before it says how many more there are.
const maxNamed = 4

// named fills in the names that package conflict does not know of.
func (w Words) named(text string, s *conflict.Statement, kinds []*species.Species, word string, most int) string {
	if !strings.Contains(text, "{") {
		return text
	}
	if len(kinds) == 0 && s.Actor != nil {
		kinds = []*species.Species{s.Actor}
	}
	var b strings.Builder
	b.Grow(len(text) + 64)
	for {
		open := strings.IndexByte(text, '{')
		if open < 0 {
			b.WriteString(text)
			return upperFirst(b.String())
		}
		b.WriteString(text[:open])
		text = text[open:]
		key, _, closed := strings.Cut(text[1:], "}")
		name, ours := "", closed
		switch key {
		case "kinds":
			name = listOf(kinds, most)
		case "n_kinds":
			name = numbered(s)
		case "word":
			name = strconv.Quote(word)
		case "words":
			name = w.words(s)
		default:
			ours = false
		}
		if !ours {
			b.WriteByte('{')
			text = text[1:]
			continue
		}
		b.WriteString(name)
		text = text[len(key)+len("{}"):]
	}
}

// upperFirst begins a sentence.
func upperFirst(text string) string {
	r, size := utf8.DecodeRuneInString(text)
	upper := unicode.ToUpper(r)
	if size == 0 || upper == r && r != utf8.RuneError {
		return text
	}
	return string(upper) + text[size:]
}

// words are all words of a statement: "temperature, pH and hardness".
func (w Words) words(s *conflict.Statement) string {
	names := make([]string, len(s.Words))
	for i := range s.Words {
		said := w.lang.words.Fill("- {0}", conflict.Statement{Words: s.Words[i : i+1]})
		names[i] = strings.TrimPrefix(said, "- ")
	}
	return joined(names)
}

// pluralOf is a kind as it is said of many inside a sentence.
func pluralOf(sp *species.Species) string {
	return species.Plural(species.Spoken(sp.VernacularName("en")))
}

// listOf names some kinds: "neon tetras, guppies and 2 other kinds".
func listOf(kinds []*species.Species, most int) string {
	var names []string
	for _, sp := range kinds {
		if n := pluralOf(sp); !slices.Contains(names, n) {
			names = append(names, n)
		}
	}
	more := len(names) - most
	if more > 0 {
		names = names[:most]
		noun := " other kinds"
		if more == 1 {
			noun = " other kind"
		}
		names = append(names, strconv.Itoa(more)+noun)
	}
	return joined(names)
}

// joined lists names: "a, b and c".
func joined(names []string) string {
	n := len(names)
	if n < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:n-1], ", ") + " and " + names[n-1]
}

// numbered is a kind with its number in front: "6 neon tetras", "1 oscar".
func numbered(s *conflict.Statement) string {
	if s.Actor == nil {
		return ""
	}
	for _, e := range s.Evidence {
		if e.Name != "count" {
			continue
		}
		if e.Value == 1 {
			return "1 " + species.Spoken(s.Actor.VernacularName("en"))
		}
		return strconv.FormatFloat(e.Value, 'f', -1, 64) + " " + pluralOf(s.Actor)
	}
	return pluralOf(s.Actor)
}
