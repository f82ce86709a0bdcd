package stocking

import "commensal/internal/conflict"

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
