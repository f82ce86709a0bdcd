package conflict

import (
	"slices"
	"unique"

	"commensal/internal/species"
)

// How alike two kinds are in each other's eyes, and whether they cross.

// likeCongener is the likeness of two species of one genus, 1 being the same species.
const likeCongener = 0.85

// strangerShape is the share of the likeness of an outline that is left where the two are
// of different families.
const strangerShape = 0.6

// kind is who a fish is, in handles that are compared as quickly as numbers.
type kind struct {
	sp                             *species.Species
	id, form, genus, family, shape name // form and shape are unnamed where there is none
	body                           species.BodyForm
	colours                        []name
	words                          []name // what kinds share that are more to each other than strangers, each once
}

// name is a handle of a word.
type name = unique.Handle[string]

// unnamed is the handle of no word.
var unnamed name

// kindOf reads who a species is.
func kindOf(sp *species.Species) kind {
	k := kind{sp: sp, id: unique.Make(string(sp.ID)), genus: unique.Make(sp.Genus()), family: unique.Make(sp.Family), body: sp.BodyForm}
	if sp.FormOf != "" {
		k.form = unique.Make(string(sp.FormOf))
	}
	if sp.Shape != "" {
		k.shape = unique.Make(sp.Shape)
	}
	for _, c := range sp.Colours {
		k.colours = append(k.colours, unique.Make(c))
	}
	k.know(k.id, k.form, k.genus, unique.Make(sp.ScientificName))
	for _, n := range sp.Hybridises {
		k.know(unique.Make(n))
	}
	return k
}

// know adds words.
func (k *kind) know(words ...name) {
	for _, w := range words {
		if w != unnamed && !slices.Contains(k.words, w) {
			k.words = append(k.words, w)
		}
	}
}

// oneKind is [OneKind].
func (k *kind) oneKind(o *kind) bool {
	return k.id == o.id || k.form == o.id || o.form == k.id || (k.form != unnamed && k.form == o.form)
}

// OneKind reports whether two entries are each other's own kind: one species, whatever its
// trade forms.
func OneKind(a, b *species.Species) bool { return a.ID == b.ID || kin(a, b) }

// kin reports whether one is a trade form of the other or both of the same species.
func kin(a, b *species.Species) bool {
	return a.FormOf == b.ID || b.FormOf == a.ID || (a.FormOf != "" && a.FormOf == b.FormOf)
}

// likeness is how far two different kinds take each other for rivals, 0 to 1.
func (m *Model) likeness(a, b *fish) float64 {
	switch {
	case a.genus == b.genus:
		return likeCongener
	case a.shape == unnamed || a.shape != b.shape:
		return 0
	}
	like := m.w.LikeShape
	if a.family != b.family {
		like *= strangerShape
	}
	return like + m.w.LikeColour*sharedColours(a.colours, b.colours)
}

// sharedColours is the Jaccard overlap of two short colour lists.
func sharedColours(a, b []name) float64 {
	common := 0
	for _, x := range a {
		for _, y := range b {
			if x == y {
				common++
			}
		}
	}
	if common == 0 {
		return 0
	}
	return float64(common) / float64(len(a)+len(b)-common)
}

// Crosses reports whether two different kinds are known to hybridise. A trade form and
// its own species do not count.
func Crosses(a, b *species.Species) bool { return !OneKind(a, b) && crosses(a, b) }

// crosses reports whether either names the other, or its genus, as a species it
// hybridises with.
func crosses(a, b *species.Species) bool {
	return names(a.Hybridises, b) || names(b.Hybridises, a)
}

func names(list []string, sp *species.Species) bool {
	for _, n := range list {
		if n == sp.ScientificName || n == sp.Genus() {
			return true
		}
	}
	return false
}
