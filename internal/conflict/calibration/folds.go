package calibration

import (
	"math/rand/v2"
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// Groups is the number of groups that the kinds are dealt into for cross-validation.
const Groups = 5

// foldRounds is how long the fit of one fold may search.
const foldRounds = 20

// Held is the outcome of cross-validation: every pair judged by weights fitted to pairs
// that have neither of its kinds.
type Held struct {
	Causes   []conflict.Causes
	Ordinary []float64 // of a pair under stated conditions, its score in reference conditions
	Fits     []conflict.Weights
}

// Scores are the held-out scores.
func (h *Held) Scores() []float64 {
	out := make([]float64, len(h.Causes))
	for i := range h.Causes {
		out[i] = h.Causes[i].Value
	}
	return out
}

// parent is the species of a trade form: forms of one species are one kind here.
func parent(sp *species.Species) species.ID {
	if sp.FormOf != "" {
		return sp.FormOf
	}
	return sp.ID
}

// deal assigns every kind of the panel to a group, by a shuffle with a fixed seed.
func (p Panel) deal() map[species.ID]int {
	seen := map[species.ID]int{}
	for i := range p {
		seen[parent(p[i].A)], seen[parent(p[i].B)] = 0, 0
	}
	kinds := make([]species.ID, 0, len(seen))
	for k := range seen {
		kinds = append(kinds, k)
	}
	slices.Sort(kinds)
	rng := rand.New(rand.NewPCG(1, 1))
	rng.Shuffle(len(kinds), func(i, j int) { kinds[i], kinds[j] = kinds[j], kinds[i] })
	for i, k := range kinds {
		seen[k] = i % Groups
	}
	return seen
}

// CrossValidate judges the pairs of every two groups with weights fitted to the pairs that
// have no kind of either group.
func CrossValidate(p Panel, start conflict.Weights) (Held, error) {
	held := Held{Causes: make([]conflict.Causes, len(p)), Ordinary: make([]float64, len(p))}
	group := p.deal()
	for g := range Groups {
		for h := g; h < Groups; h++ {
			if err := held.fold(p, start, group, g, h); err != nil {
				return held, err
			}
		}
	}
	return held, nil
}

// fold fits without two groups, which may be one, and judges the pairs between them.
func (h *Held) fold(p Panel, start conflict.Weights, group map[species.ID]int, one, other int) error {
	var train, test, ordinary Panel
	var where []int
	out := func(k int) bool { return k == one || k == other }
	for i := range p {
		a, b := group[parent(p[i].A)], group[parent(p[i].B)]
		switch {
		case min(a, b) == one && max(a, b) == other:
			test, where = append(test, p[i]), append(where, i)
			ordinary = append(ordinary, p[i].reference())
		case !out(a) && !out(b):
			train = append(train, p[i])
		}
	}
	if len(test) == 0 {
		return nil
	}
	w := fit(train, start, foldRounds)
	h.Fits = append(h.Fits, w)
	causes, err := test.Causes(w)
	if err != nil {
		return err
	}
	usual, err := ordinary.Scores(w)
	if err != nil {
		return err
	}
	for k, i := range where {
		h.Causes[i], h.Ordinary[i] = causes[k], usual[k]
	}
	return nil
}

// reference is the same pair as customary groups in reference conditions.
func (j Judgement) reference() Judgement {
	j.Fish, j.Tank = [2]conflict.Individual{}, nil
	return j
}
