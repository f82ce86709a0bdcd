package conflict

import "commensal/internal/species"

// Crosses reports whether two different kinds are known to hybridise. A trade form and
// its own species do not count.
func Crosses(a, b *species.Species) bool { return !OneKind(a, b) && crosses(a, b) }

// How many of the young of a crossing come up in an ordinary tank where nobody helps:
// those born or hatched complete do, those of parents that guard them or carry them in the
// mouth in part, and eggs left to chance are eaten. Common practice, no source.
const (
	careSaves   = 0.6
	chanceSaves = 0.25

	// guardsYoung is the grade of brood guarding from which parents save a part.
	guardsYoung = 0.3
)

// hybridHazard is the hazard of young that are neither one kind nor the other.
func (m *Model) hybridHazard(a, b *species.Species) float64 {
	return m.w.HybridCrossing * min(saved(a), saved(b))
}

// saved is the share of a kind's young that comes up.
func saved(sp *species.Species) float64 {
	switch {
	case sp.Shape == "livebearer", sp.BodyForm.Crustacean():
		return 1
	case sp.Family == "Cichlidae", sp.Traits[species.BroodGuarding].Typical >= guardsYoung:
		return careSaves
	}
	return chanceSaves
}
