package stocking

import (
	"commensal/internal/conflict"
	"commensal/internal/species"
)

// Summary picks what decides: the first reason that leads to the decision.
func (j *Assessment) Summary(told []Finding) Summary {
	s := Summary{Decision: j.Decision, Observed: j.observed()}
	if j.Decision == Proceed {
		s.Main = j.fine()
		return s
	}
	for i := range told {
		if DecisionOf(told[i:i+1]) != j.Decision {
			continue
		}
		if s.Reason == nil {
			s.Reason, s.Main = &told[i], told[i].Statement
		} else {
			s.More++
		}
	}
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
	if kinds == 0 {
		return conflict.Statement{Code: SummaryNothing}
	}
	if kinds == 1 {
		return conflict.Statement{Code: SummaryFineSingle, Actor: j.Lines[0].Species}
	}
	return conflict.Statement{Code: SummaryFine, Evidence: []conflict.Evidence{{Name: "number", Value: float64(kinds)}}}
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
	case j.Tank.ShapeTaken:
		add(AssumedShape, conflict.Evidence{Name: "volume", Value: j.Tank.VolumeL, Unit: "L"},
			conflict.Evidence{Name: "length", Value: j.Tank.LengthCM, Unit: "cm"},
			conflict.Evidence{Name: "width", Value: j.Tank.WidthCM, Unit: "cm"},
			conflict.Evidence{Name: "height", Value: j.Tank.HeightCM, Unit: "cm"})
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
	out = j.assumedMoods(out)
	j.assumedLoad(add)
	return out
}

// assumedWater names the parameters without a reading, each judged at the best common
// point of every pairing.
func (j *Assessment) assumedWater(out []conflict.Statement) []conflict.Statement {
	var unknown []conflict.WordCode
	for p := range species.Parameter(species.NumParameters) {
		if !j.Reading(p).Known {
			unknown = append(unknown, ParameterWord[p])
		}
	}
	if len(unknown) > 0 {
		out = append(out, conflict.Statement{Code: AssumedWater, Words: unknown})
	}
	return out
}

// assumedMoods names the dispositions that nobody saw for any time, which count for nothing.
func (j *Assessment) assumedMoods(out []conflict.Statement) []conflict.Statement {
	for i := range j.Lines {
		if r := &j.Lines[i]; r.Unproved {
			out = append(out, conflict.Statement{Code: AssumedMood, Actor: r.Species})
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
