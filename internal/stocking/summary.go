package stocking

import "commensal/internal/conflict"

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
