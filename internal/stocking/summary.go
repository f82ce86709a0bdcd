package stocking

import "commensal/internal/conflict"

// summary picks what decides: a pairing or a finding that leads to the decision,
// the worst pairing before an equally grave finding. Pairings come worst first.
func (j *judging) summary(pairings []ListPairing) Summary {
	s := Summary{Decision: j.decision, Observed: j.observed()}
	if j.decision == Proceed {
		s.Main = j.fine()
		return s
	}
	grave := 0
	for i := range pairings {
		if j.decisionFor(pairings[i].Score.Level) == j.decision {
			if grave == 0 {
				s.Main = pairings[i].Summary
			}
			grave++
		}
	}
	for i := range j.findings {
		if decisionOf(j.findings[i:i+1]) == j.decision {
			if grave == 0 {
				s.Main = j.findings[i].Statement
			}
			grave++
		}
	}
	s.More = grave - 1
	return s
}

// fine says that nothing speaks against the list.
func (j *judging) fine() conflict.Statement {
	kinds := 0
	for i := range j.lines {
		if j.lines[i].kind == i {
			kinds++
		}
	}
	if kinds == 1 {
		return conflict.Statement{Code: SummaryFineSingle, Actor: j.lines[0].species}
	}
	return conflict.Statement{Code: SummaryFine, Evidence: []conflict.Evidence{{Name: "kinds", Value: float64(kinds)}}}
}

// observed is what dispositions changed: of the pairings they moved, the one with the
// highest species-level score; nil where they moved none.
func (j *judging) observed() *Observed {
	worst := -1
	for i := range j.pairs {
		p := &j.pairs[i]
		if p.value != p.ordinary && (worst < 0 || p.ordinary > j.pairs[worst].ordinary) {
			worst = i
		}
	}
	if worst < 0 {
		return nil
	}
	p := &j.pairs[worst]
	line := p.first
	if j.lines[line].Observed == conflict.Typical {
		line = p.second
	}
	return &Observed{
		Line: line, Disposition: j.lines[line].Observed, Months: j.lines[line].MonthsObserved,
		Score: p.value, SpeciesLevel: p.ordinary, Level: p.level, LevelForSpecies: p.ordinaryLevel,
	}
}
