package conflict

import (
	"math"

	"commensal/internal/species"
)

// noStress is the hazard of a parameter below which nothing is said of it.
const noStress = 0.04

// stressOf is the stress of one parameter on the two together.
func (x *explainer) stressOf(p species.Parameter) float64 {
	onA, onB := paramStress(&x.a.fish, &x.b.fish, x.c, p, typical)
	if x.sameKind() {
		return max(onA, onB)
	}
	if p == species.Temperature {
		onA += x.m.w.Season * max(x.a.cool*x.b.warm, x.b.cool*x.a.warm)
	}
	return onA + onB
}

func (x *explainer) worstParameter() (worst species.Parameter, stress float64) {
	for p := range species.Parameter(species.NumParameters) {
		if s := x.stressOf(p); s > stress {
			worst, stress = p, s
		}
	}
	return worst, stress
}

// water states whether one body of water suits both: a reading that is wrong for
// one or both, ranges that do not meet, a narrow common range, or a common comfort range.
func (x *explainer) water() Statement {
	p, worst := x.worstParameter()
	if worst < noStress {
		return x.easyWater()
	}
	if x.c.Reading[p].Known && x.atFault(p) {
		return x.reading(p)
	}
	return x.narrow(p)
}

// atFault reports whether a reading, not the kinds, is what is wrong: another value would
// halve the stress.
func (x *explainer) atFault(p species.Parameter) bool {
	best := *x.c
	best.Reading[p] = Reading{}
	y := *x
	y.c = &best
	return y.stressOf(p) < x.stressOf(p)/2
}

// narrow states what the two have in common of a parameter that strains them.
func (x *explainer) narrow(p species.Parameter) Statement {
	wa, wb := x.a.Species.Water[p], x.b.Species.Water[p]
	if !wa.Known() || !wb.Known() {
		return Statement{Code: WaterUnknown, Actor: x.a.Species, Other: x.b.Species}
	}
	common, meet := wa.Tolerated.Intersect(wb.Tolerated)
	if !meet {
		return x.apart(p)
	}
	best, _ := compromise(&x.a.water[p], &x.b.water[p])
	s := Statement{Code: WaterCompromise, Actor: x.a.Species, Other: x.b.Species,
		Words: []WordCode{parameterWord(p)},
		Evidence: []Evidence{
			{"best", clamp(best, common.Low, common.High), unitOf(p)},
			{"common_low", common.Low, unitOf(p)}, {"common_high", common.High, unitOf(p)},
		}}
	if both, ok := wa.Preferred.Intersect(wb.Preferred); ok {
		s.Code = WaterNarrow
		s.Evidence = append(s.Evidence, Evidence{"both_low", both.Low, unitOf(p)}, Evidence{"both_high", both.High, unitOf(p)})
		return s
	}
	s.Evidence = append(s.Evidence,
		Evidence{"first_likes_low", wa.Preferred.Low, unitOf(p)}, Evidence{"first_likes_high", wa.Preferred.High, unitOf(p)},
		Evidence{"second_likes_low", wb.Preferred.Low, unitOf(p)}, Evidence{"second_likes_high", wb.Preferred.High, unitOf(p)})
	return s
}

// reading states for whom the tank's value is wrong. What is compared is what is shown.
func (x *explainer) reading(p species.Parameter) Statement {
	value := x.c.Reading[p].Value
	sufferer, other := x.a, x.b
	onA, onB := stressIfKnown(&x.a.water[p], value, typical), stressIfKnown(&x.b.water[p], value, typical)
	if onB > onA {
		sufferer, other = x.b, x.a
	}
	w := sufferer.Species.Water[p]
	code := WaterReadingEdge
	switch {
	case !w.Tolerated.Contains(value):
		code = WaterReadingOutside
	case !x.sameKind() && min(onA, onB) > noStress && min(onA, onB) > max(onA, onB)/2:
		code = WaterReadingBoth
	}
	return Statement{Code: code, Actor: sufferer.Species, Other: other.Species,
		Words: []WordCode{parameterWord(p)},
		Evidence: []Evidence{
			{"reading", value, unitOf(p)},
			{"tolerated_low", w.Tolerated.Low, unitOf(p)}, {"tolerated_high", w.Tolerated.High, unitOf(p)},
			{"preferred_low", w.Preferred.Low, unitOf(p)}, {"preferred_high", w.Preferred.High, unitOf(p)},
		}}
}

func (x *explainer) apart(p species.Parameter) Statement {
	a, b := x.a.Species.Water[p].Tolerated, x.b.Species.Water[p].Tolerated
	return Statement{Code: WaterApart, Actor: x.a.Species, Other: x.b.Species,
		Words: []WordCode{parameterWord(p)},
		Evidence: []Evidence{
			{"first_low", a.Low, unitOf(p)}, {"first_high", a.High, unitOf(p)},
			{"second_low", b.Low, unitOf(p)}, {"second_high", b.High, unitOf(p)},
		}}
}

// easyWater states the range in which both live well.
func (x *explainer) easyWater() Statement {
	s := Statement{Code: WaterShared, Actor: x.a.Species, Other: x.b.Species}
	if x.sameKind() {
		s.Code = WaterOwnKind
	}
	for _, p := range []species.Parameter{species.Temperature, species.PH} {
		wa, wb := x.a.Species.Water[p], x.b.Species.Water[p]
		if !wa.Known() || !wb.Known() {
			return Statement{Code: WaterUnknown, Actor: x.a.Species, Other: x.b.Species}
		}
		common, ok := wa.Preferred.Intersect(wb.Preferred)
		if !ok { // the stress is slight all the same
			return x.narrow(p)
		}
		s.Evidence = append(s.Evidence,
			Evidence{p.String() + "_low", common.Low, unitOf(p)},
			Evidence{p.String() + "_high", common.High, unitOf(p)})
	}
	return s
}

// waterSummary is the summary of a pairing whose main reason is water.
func (x *explainer) waterSummary() Statement {
	s := x.water()
	switch s.Code {
	case WaterReadingBoth:
		s.Code = SummaryWaterTank
	case WaterReadingEdge, WaterReadingOutside:
		s.Code = SummaryWaterOne
	case WaterApart:
		s.Code = SummaryWaterApart
	case WaterNarrow:
		s.Code = SummaryWaterNarrow
	case WaterCompromise:
		s.Code = SummaryWaterLikes
	default:
		s.Code = SummaryWater
		s.Words = []WordCode{parameterWord(x.worst())}
	}
	if x.sameKind() {
		s.Code = SummaryWaterOwn
	}
	return s
}

func (x *explainer) worst() species.Parameter {
	p, _ := x.worstParameter()
	return p
}

func unitOf(p species.Parameter) string { return p.Info().Unit }

func parameterWord(p species.Parameter) WordCode {
	return [species.NumParameters]WordCode{WordTemperature, WordPH, WordHardness, WordSalinity}[p]
}

// shown is a water value as a sentence shows it.
func shown(v float64) float64 { return math.Round(v*10) / 10 }
