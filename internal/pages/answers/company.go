package answers

import (
	"cmp"
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// Company is how a kind gets on with the whole catalogue.
type Company struct {
	Counts     [conflict.NumLevels]int // kinds at each level, its own not counted
	Good, Poor []Neighbour             // the best-known kinds at low, and at high and severe
}

// Neighbour is another kind and the score with it.
type Neighbour struct {
	Kind  Kind
	Level string
	Score float64
}

const (
	maxNeighbours = 12
	// maxOfGenus keeps one large genus from filling the list.
	maxOfGenus = 2
)

// Company ranks the catalogue beside the kind with the id: of those that go with it, and
// of those that do not, the best-known ones. How many names a kind has in how many
// languages stands for how well it is known; nothing better is on record.
func (d *Desk) Company(id string) (out Company, ok bool) {
	i, ok := d.book.Snapshot.Index(species.ID(id))
	if !ok {
		return Company{}, false
	}
	var good, poor []ranked
	for j := range d.book.Snapshot.Len() {
		if j == i {
			continue
		}
		r := ranked{d.book.Snapshot.At(j), d.book.Value(i, j)}
		level := conflict.LevelOf(r.score)
		out.Counts[level]++
		switch {
		case level == conflict.Low && oneWater(d.book.Snapshot.At(i), r.species):
			good = append(good, r)
		case level >= conflict.High:
			poor = append(poor, r)
		}
	}
	out.Good = best(good, 1)
	out.Poor = best(poor, -1)
	return out, true
}

// oneWater reports whether one body of water is what both prefer, in every parameter on
// record: company worth naming is at its best, not at its limits.
func oneWater(a, b *species.Species) bool {
	windows, _, ok := conflict.SharedWater(a, b)
	for _, w := range windows {
		ok = ok && w.PreferredOK
	}
	return ok
}

type ranked struct {
	species *species.Species
	score   float64
}

// best picks the best-known kinds and puts them in order of score; sign 1 lists the
// lowest score first, -1 the highest.
func best(list []ranked, sign float64) []Neighbour {
	slices.SortFunc(list, func(a, b ranked) int {
		return cmp.Or(cmp.Compare(len(b.species.Names), len(a.species.Names)), cmp.Compare(sign*a.score, sign*b.score),
			cmp.Compare(a.species.ID, b.species.ID))
	})
	genus := map[string]int{}
	var out []Neighbour
	for _, r := range list {
		if g := r.species.Genus(); genus[g] < maxOfGenus && len(out) < maxNeighbours {
			genus[g]++
			out = append(out, Neighbour{kindOf(r.species), conflict.LevelOf(r.score).String(), tenths(r.score)})
		}
	}
	slices.SortStableFunc(out, func(a, b Neighbour) int { return cmp.Compare(sign*a.Score, sign*b.Score) })
	return out
}
