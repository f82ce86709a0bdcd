package stocking

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
// {kinds} are all kinds of a finding, {others} the second of two, {n_kinds} the kind with the number
// in front that the evidence calls count, {word} what the caller wrote.

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
	text = strings.NewReplacer(
		"{kinds}", listOf(kinds, most), "{others}", listOf(oneOf(s.Other), 1), "{n_kinds}", numbered(s), "{word}", strconv.Quote(word),
	).Replace(text)
	r, size := utf8.DecodeRuneInString(text)
	return string(unicode.ToUpper(r)) + text[size:]
}

func oneOf(sp *species.Species) []*species.Species {
	if sp == nil {
		return nil
	}
	return []*species.Species{sp}
}

// pluralOf is a kind as it is said of many inside a sentence.
func pluralOf(sp *species.Species) string { return species.Plural(species.Spoken(sp.VernacularName("en"))) }

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
	switch n := len(names); n {
	case 0:
		return ""
	case 1:
		return names[0]
	default:
		return strings.Join(names[:n-1], ", ") + " and " + names[n-1]
	}
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
