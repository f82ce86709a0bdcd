package conflict

import "commensal/internal/species"

// water states whether one body of water suits both: a reading that is wrong for
// one, ranges that do not meet, a compromise, or a common comfort range.
func (x *explainer) water() Statement {
	p, worst := x.worstParameter()
	if x.c.Reading[p].Known && worst > 0 {
		return x.reading(p)
	}
	wa, wb := x.a.Species.Water[p], x.b.Species.Water[p]
	common, meet := wa.Tolerated.Intersect(wb.Tolerated)
	known := wa.Known() && wb.Known()
	switch {
	case known && !meet:
		return x.apart(p)
	case known && worst > 0:
		ra, rb := x.a.water[typical][p], x.b.water[typical][p]
		best, _ := compromise(&ra, &rb)
		return Statement{Code: WaterCompromise, Actor: x.a.Species, Other: x.b.Species,
			Words: []WordCode{parameterWord(p)},
			Evidence: []Evidence{
				{"best", best, unitOf(p)},
				{"stress", worst, "share"},
				{"common_low", common.Low, unitOf(p)}, {"common_high", common.High, unitOf(p)},
			}}
	}
	return x.sharedWater()
}

func (x *explainer) worstParameter() (worst species.Parameter, stress float64) {
	for p := range species.Parameter(species.NumParameters) {
		if s := worstStress(x.a, x.b, x.c, p, typical); s > stress {
			worst, stress = p, s
		}
	}
	return worst, stress
}

func (x *explainer) reading(p species.Parameter) Statement {
	value := x.c.Reading[p].Value
	sufferer, other := x.a, x.b
	if stressIfKnown(&x.b.water[typical][p], value, typical) > stressIfKnown(&x.a.water[typical][p], value, typical) {
		sufferer, other = x.b, x.a
	}
	w := sufferer.Species.Water[p]
	code := WaterReadingEdge
	if !w.Tolerated.Contains(value) {
		code = WaterReadingOutside
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

func (x *explainer) sharedWater() Statement {
	s := Statement{Code: WaterShared, Actor: x.a.Species, Other: x.b.Species}
	if x.sameKind() {
		s.Code = WaterOwnKind
	}
	for _, p := range []species.Parameter{species.Temperature, species.PH} {
		wa, wb := x.a.Species.Water[p], x.b.Species.Water[p]
		if !wa.Known() || !wb.Known() {
			return Statement{Code: WaterUnknown, Actor: x.a.Species, Other: x.b.Species}
		}
		common, _ := wa.Preferred.Intersect(wb.Preferred)
		s.Evidence = append(s.Evidence,
			Evidence{p.String() + "_low", common.Low, unitOf(p)},
			Evidence{p.String() + "_high", common.High, unitOf(p)})
	}
	return s
}

func unitOf(p species.Parameter) string { return p.Info().Unit }

func parameterWord(p species.Parameter) WordCode {
	return [species.NumParameters]WordCode{WordTemperature, WordPH, WordHardness, WordSalinity}[p]
}
