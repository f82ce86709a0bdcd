package sheet

import (
	"slices"

	"commensal/internal/species"
)

// Into is the catalogue with the entries of the sheet: each takes the place of the
// entry of its id, and new ones follow behind. With replace the sheet is all there is:
// other entries go, and trade words lose them.
func (sheet *Sheet) Into(c species.Catalogue, replace bool) species.Catalogue {
	if replace {
		return species.Catalogue{Species: sheet.Entries, Words: wordsOf(c.Words, sheet.Entries), Sources: c.Sources}
	}
	place := make(map[species.ID]int, len(c.Species))
	out := species.Catalogue{Species: slices.Clone(c.Species), Words: c.Words, Sources: c.Sources}
	for i, s := range c.Species {
		place[s.ID] = i
	}
	for _, s := range sheet.Entries {
		if i, ok := place[s.ID]; ok {
			out.Species[i] = s
		} else {
			out.Species = append(out.Species, s)
		}
	}
	return out
}

// wordsOf keeps of the words what they may still mean.
func wordsOf(words []species.GroupWord, entries []*species.Species) []species.GroupWord {
	there := make(map[species.ID]bool, len(entries))
	for _, s := range entries {
		there[s.ID] = true
	}
	var out []species.GroupWord
	for _, w := range words {
		w.Candidates = slices.DeleteFunc(slices.Clone(w.Candidates), func(id species.ID) bool { return !there[id] })
		if len(w.Candidates) > 0 {
			out = append(out, w)
		}
	}
	return out
}
