package conflict

import "commensal/internal/species"

// summary states the pairing in one sentence, from its main reason.
func (x *explainer) summary(s *Score, f *[NumFactors]FactorResult) Statement {
	both := Statement{Actor: x.a.Species, Other: x.b.Species}
	switch s.Reason {
	case Predation:
		return x.predation(s.Level)
	case Aggression:
		return x.aggression(s.Level)
	case FinNipping:
		d := heavier(x.t.nip)
		return x.directed(SummaryNipping, d)
	case Water:
		both.Code = SummaryWater
		if x.sameKind() {
			both.Code = SummaryWaterOwn
		}
	case FeedingClash:
		if x.t.diet > max(x.t.race[0], x.t.race[1]) {
			both.Code = SummaryDiet
			break
		}
		return x.directed(SummaryFeeding, heavier(x.t.race))
	case OwnKind:
		if x.forms() {
			return x.aggression(s.Level)
		}
		both.Code = SummaryOwnKind
	case Hybridisation:
		both.Code = SummaryHybridisation
	case Room:
		both.Code = SummaryRoom
		both.Actor = f[Space].Statement.Actor
	default:
		both.Code = SummaryFine
		switch {
		case x.forms():
			both.Code = SummaryFineForms
		case x.sameKind():
			both.Code = SummaryFineOwn
			both.Evidence = []Evidence{{"group_min", x.a.read(species.GroupMin), "fish"}}
		}
	}
	return both
}

func (x *explainer) directed(code Code, d int) Statement {
	actor, other := x.side(d)
	return Statement{Code: code, Actor: actor.Species, Other: other.Species}
}

// predation reuses the size statement, whose evidence has the two lengths.
func (x *explainer) predation(level Level) Statement {
	s := x.size()
	switch {
	case s.Code == SizeBites:
		s.Code = SummaryBites
	case s.Code == SizeShocks:
		s.Code = SummaryShocks
	case s.Code == SizeClaws && level == Moderate:
		s.Code = SummaryMayGrip
	case s.Code == SizeClaws:
		s.Code = SummaryGrips
	case level == Moderate:
		s.Code = SummaryMayEat
	default:
		s.Code = SummaryPredation
	}
	return s
}

// mutualShare is how even two directions must be for a fight rather than harassment.
const mutualShare = 0.6

func (x *explainer) aggression(level Level) Statement {
	var h [2]float64
	for d := range h {
		h[d] = x.t.clash(d) + x.t.guard[d]
	}
	d := heavier(h)
	mutual := h[1-d] >= mutualShare*h[d]
	switch {
	case mutual && level == Moderate:
		return x.directed(SummaryMayFight, 0)
	case mutual:
		return x.directed(SummaryRivals, 0)
	case level == Moderate:
		return x.directed(SummaryMayHarass, d)
	}
	return x.directed(SummaryAggression, d)
}
