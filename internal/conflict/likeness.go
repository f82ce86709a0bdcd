package conflict

import "commensal/internal/species"

// likeness is how far two different kinds take each other for rivals, 0 to 1.
func likeness(a, b *species.Species) float64 {
	switch {
	case a.Genus() == b.Genus():
		return likeCongener
	case a.Shape == "" || a.Shape != b.Shape:
		return 0
	}
	like := likeShapeOnly
	if a.Family == b.Family {
		like = likeSameShape
	}
	return like + likeColourGain*sharedColours(a.Colours, b.Colours)
}

// OneKind reports whether two entries are each other's own kind: one species, whatever its
// trade forms.
func OneKind(a, b *species.Species) bool { return a.ID == b.ID || kin(a, b) }

// kin reports whether one is a trade form of the other or both of the same species.
func kin(a, b *species.Species) bool {
	return a.FormOf == b.ID || b.FormOf == a.ID || (a.FormOf != "" && a.FormOf == b.FormOf)
}

// sharedColours is the Jaccard overlap of two short colour lists.
func sharedColours(a, b []string) float64 {
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

// crosses reports whether either names the other, or its genus, as a species it
// hybridises with. A trade form crosses with its own species by nature; that is
// not counted as a hybrid.
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
