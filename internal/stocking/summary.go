package stocking

import (
	"commensal/internal/conflict"
	"commensal/internal/species"
)

// Summary picks what decides: a pairing or a finding that leads to the decision,
// the worst pairing before an equally grave finding. Pairings come worst first.
func (j *Assessment) Summary(pairings []ListPairing) Summary {
	s := Summary{Decision: j.Decision, Observed: j.observed()}
	if j.Decision == Proceed {
		s.Main = j.fine()
		return s
	}
	grave := 0
	for i := range pairings {
		if j.DecisionFor(pairings[i].Score.Level) == j.Decision {
			if grave == 0 {
				s.Main = pairings[i].Summary
			}
			grave++
		}
	}
	for i := range j.Findings {
		if DecisionOf(j.Findings[i:i+1]) == j.Decision {
			if grave == 0 {
				s.Main = j.Findings[i].Statement
			}
			grave++
		}
	}
	s.More = grave - 1
	return s
}

// fine says that nothing speaks against the list.
func (j *Assessment) fine() conflict.Statement {
	kinds := 0
	for i := range j.Lines {
		if j.Lines[i].Kind == i {
			kinds++
		}
	}
	if kinds == 1 {
		return conflict.Statement{Code: SummaryFineSingle, Actor: j.Lines[0].Species}
	}
	return conflict.Statement{Code: SummaryFine, Evidence: []conflict.Evidence{{Name: "kinds", Value: float64(kinds)}}}
}

// observed is what dispositions changed: of the pairings they moved, the one with the
// highest species-level score; nil where they moved none.
func (j *Assessment) observed() *Observed {
	worst := -1
	for i := range j.Pairs {
		p := &j.Pairs[i]
		if p.Score != p.SpeciesScore && (worst < 0 || p.SpeciesScore > j.Pairs[worst].SpeciesScore) {
			worst = i
		}
	}
	if worst < 0 {
		return nil
	}
	p := &j.Pairs[worst]
	line := p.First
	if j.Lines[line].Observed == conflict.Typical {
		line = p.Second
	}
	return &Observed{
		Line: line, Disposition: j.Lines[line].Observed, Months: j.Lines[line].MonthsObserved,
		Score: p.Score, SpeciesLevel: p.SpeciesScore, Level: p.Level, LevelForSpecies: p.SpeciesLevel,
	}
}

// assumed names what was taken for granted, so that a reader can put it right.
func (j *Assessment) assumed() (out []conflict.Statement) {
	add := func(code Code, ev ...conflict.Evidence) {
		out = append(out, conflict.Statement{Code: code, Evidence: ev})
	}
	switch {
	case j.Tank == nil:
		add(AssumedNoTank)
	case !j.HasFootprint():
		add(AssumedFootprint)
	}
	if j.Tank != nil && !j.Tank.CoverKnown {
		add(AssumedCover, conflict.Evidence{Name: "cover", Value: conflict.NormalCover, Unit: "share"})
	}
	out = j.assumedWater(out)
	for i := range j.Lines {
		if r := &j.Lines[i]; r.Count == 0 {
			out = append(out, conflict.Statement{Code: AssumedCount, Actor: r.Species,
				Evidence: []conflict.Evidence{{Name: "count", Value: float64(r.Fish), Unit: "fish"}}})
		}
	}
	j.assumedLoad(add)
	return out
}

// assumedWater names the parameters without a reading, each judged at the best common
// point of every pairing.
func (j *Assessment) assumedWater(out []conflict.Statement) []conflict.Statement {
	for p := range species.Parameter(species.NumParameters) {
		if !j.Reading(p).Known {
			out = append(out, conflict.Statement{Code: AssumedWater, Words: []conflict.WordCode{ParameterWord[p]}})
		}
	}
	return out
}

// assumedLoad names what the load rests on.
func (j *Assessment) assumedLoad(add func(Code, ...conflict.Evidence)) {
	if j.Load == nil {
		return
	}
	add(AssumedFood, conflict.Evidence{Name: "protein", Value: foodProtein, Unit: "share"})
	if j.Load.TemperatureTaken {
		add(AssumedTemperature, conflict.Evidence{Name: "temperature", Value: j.Load.TemperatureC, Unit: "C"})
	}
	if j.Load.WaterL > 0 {
		add(AssumedNetVolume, conflict.Evidence{Name: "water", Value: j.Load.WaterL, Unit: "L"},
			conflict.Evidence{Name: "share", Value: netShare, Unit: "share"})
	}
	if j.Load.Nitrate != nil && j.Load.Nitrate.SourceTaken {
		add(AssumedSource)
	}
}
