package additions

import (
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
)

// From how much of its levels is free one says so, from how well the water suits it likewise, and how much of its time a kind
// spends at a level that is called its own. Common practice, no source.
const (
	emptyFrom, roomFrom     = 0.9, 0.5
	likesFrom, doesWellFrom = 0.8, 0.3
	ownLevel                = 0.5
)

// why says in one line why a species that fits does so: with whom it gets on, what the water is to it, where there is
// room for it. w has been weighed.
func (sc *ranking) why(w *candidate) conflict.Statement {
	s := conflict.Statement{Code: WhyFits, Actor: w.species(), Words: make([]conflict.WordCode, 0, maxClauses)}
	if sc.of != nil && w.rank.likeness >= alikeFrom {
		s.Code, s.Other = WhyAlike, sc.of
	}
	say := func(is bool, word conflict.WordCode) {
		if is && len(s.Words) < maxClauses {
			s.Words = append(s.Words, word)
		}
	}
	n := len(sc.base.Lines)
	say(n > 0 && slices.Max(sc.values[:n]) < conflict.ModerateFrom, whyCompany)
	known := slices.ContainsFunc(sc.water[:], func(l listWater) bool { return l.bestKnown })
	say(known && w.rank.water >= likesFrom, whyLikesWater)
	say(known && w.rank.water >= doesWellFrom && w.rank.water < likesFrom, whyBearsWater)
	if z := levelOf(w.species()); n > 0 && w.species().Zones.Known() && w.species().Zones.Share[z] > ownLevel {
		say(w.rank.zone >= emptyFrom, whyEmpty[z])
		say(w.rank.zone >= roomFrom && w.rank.zone < emptyFrom, whyRoom[z])
	}
	say(n == 0 && sc.base.Tank != nil && sc.base.Tank.LengthCM > 0, whyLargeEnough)
	say(len(s.Words) < maxClauses && w.species().Available == species.EveryShop, whyUsual)
	if len(s.Words) == 0 {
		s.Code, s.Other = stocking.SummaryFineSingle, nil
	}
	return s
}

// maxClauses is how many reasons are told in one breath.
const maxClauses = 3

// alikeFrom is from when on a kind is called much like another. Common practice, no source.
const alikeFrom = 0.7

// What a kind that fits has for it.
const (
	whyCompany     conflict.WordCode = "why.company"
	whyLikesWater  conflict.WordCode = "why.likes_water"
	whyBearsWater  conflict.WordCode = "why.bears_water"
	whyLargeEnough conflict.WordCode = "why.large_enough"
	whyUsual       conflict.WordCode = "why.usual"
)

// Where there is room for it, by level.
var (
	whyEmpty = [species.NumZones]conflict.WordCode{"why.empty.surface", "why.empty.middle", "why.empty.bottom"}
	whyRoom  = [species.NumZones]conflict.WordCode{"why.room.surface", "why.room.middle", "why.room.bottom"}
)
