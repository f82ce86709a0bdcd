package additions

import (
	"cmp"
	"slices"

	"commensal/internal/species"
)

// How varied the species are that fit: common practice, no source. Somebody who asks what could join
// does not want twenty corydoras.
const (
	// pool is how many are ranked, to choose from; more where more are asked for.
	pool = 200
	// Of species that fit equally well so many of one genus, one family, one level of the water, and of animals with a shell
	// come in the first round, as many in the second, and so on: snails get on with nearly everything.
	perGenus, perFamily, perLevel, perShelled = 1, 2, 5, 1
)

// varied puts the best few of a ranking in order: those that fit equally well, by the worst of their
// pairings in steps, in rounds that are varied by genus, family and level. No answer depends on how
// many are asked for but in its length.
func (sc *ranking) varied(ranked []placed, most int) []placed {
	if sc.of == nil { // who replaces a fish wants its like
		rounds := sc.rounds(ranked)
		order := make([]int, len(ranked))
		for i := range order {
			order[i] = i
		}
		slices.SortStableFunc(order, func(a, b int) int {
			if !alike(&ranked[a].rank, &ranked[b].rank) {
				return a - b
			}
			return cmp.Compare(rounds[a], rounds[b])
		})
		sorted := make([]placed, len(ranked))
		for i, at := range order {
			sorted[i] = ranked[at]
		}
		ranked = sorted
	}
	return ranked[:min(len(ranked), most)]
}

// rounds are the rounds of a ranking, counted anew for those that fit equally well.
func (sc *ranking) rounds(ranked []placed) []int {
	out := make([]int, len(ranked))
	var genera, families map[string]int
	var levels map[species.Zone]int
	shelled := 0
	for i := range ranked {
		if i == 0 || !alike(&ranked[i-1].rank, &ranked[i].rank) {
			genera, families, levels, shelled = map[string]int{}, map[string]int{}, map[species.Zone]int{}, 0
		}
		sp := sc.base.Book.Snapshot.At(ranked[i].rank.index)
		level := levelOf(sp)
		out[i] = max(genera[sp.Genus()]/perGenus, families[sp.Family]/perFamily, levels[level]/perLevel)
		if sp.BodyForm.Shelled() {
			out[i] = max(out[i], shelled/perShelled)
			shelled++
		}
		genera[sp.Genus()]++
		families[sp.Family]++
		levels[level]++
	}
	return out
}

// alike reports ranks that fit equally well.
func alike(a, b *rank) bool {
	return a.grave == b.grave && a.reasons == b.reasons && a.list == b.list && stepped(a.worst, b.worst, worstStep) == 0
}

// levelOf is the level that a species uses most.
func levelOf(sp *species.Species) (level species.Zone) {
	for z := range species.Zone(species.NumZones) {
		if sp.Zones.Share[z] > sp.Zones.Share[level] {
			level = z
		}
	}
	return level
}

// usualness is how usual an animal is in the trade: 0 in every shop, more for what is rarer.
func usualness(sp *species.Species) uint8 {
	switch sp.Available {
	case species.EveryShop:
		return 0
	case species.ManyShops:
		return 1
	case species.RareSeller:
		return 3
	}
	return 2
}
