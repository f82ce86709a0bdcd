package additions

import (
	"commensal/internal/stocking"
)

// meetTank looks at what is found about the species in this tank.
func (sc *ranking) meetTank(w *candidate, last int) {
	sc.found(w, sc.with.FindInTank(sc.scratch[:0], last), false)
}

// found counts findings, and keeps their room for the next ones.
func (sc *ranking) found(w *candidate, found []stocking.Finding, list bool) {
	for i := range found {
		r := reason{decision: decisionOfSeverity(found[i].Severity), with: stocking.TheTank, list: list}
		if r.decision > sc.allowed && w.gather {
			f := found[i]
			r.finding = &f
		}
		sc.against(w, r)
	}
	sc.scratch = found
}

// meetWater looks for parameters that the species shares with no other line, or not
// with the one that is furthest from it.
func (sc *ranking) meetWater(w *candidate) {
	for p := range sc.water {
		own, list := &w.species().Water[p], &sc.water[p]
		if !own.Known() || !list.Known {
			continue
		}
		switch {
		case own.Tolerated.Low > list.Tolerated.High:
			sc.against(w, reason{decision: stocking.Hold, with: list.Low, water: p})
		case own.Tolerated.High < list.Tolerated.Low:
			sc.against(w, reason{decision: stocking.Hold, with: list.High, water: p})
		}
	}
}

// countTank counts what meetTank finds without making the findings, which is most of
// what a scan would spend.
func (sc *ranking) countTank(w *candidate, last int) {
	sc.found(w, sc.with.FindSale(sc.scratch[:0], last), false)
	tank := sc.with.Tank
	if tank == nil {
		return
	}
	for _, severity := range sc.with.ReadingsOf(last) {
		sc.against(w, reason{decision: decisionOfSeverity(severity)})
	}
	if tank.HasFootprint() {
		sc.countSize(w, tank)
	}
	// Beyond a proceed these are never more than advice, but for what starves in a new tank.
	if sc.allowed == stocking.Proceed || tank.FilterMature != nil && !*tank.FilterMature {
		sc.found(w, sc.with.FindHabits(sc.scratch[:0], last), false)
	}
}

func (sc *ranking) countSize(w *candidate, tank *stocking.Tank) {
	for _, severity := range tank.ShortFor(w.joiner).Severities() {
		sc.against(w, reason{decision: decisionOfSeverity(severity)})
	}
}

// decisionOfSeverity is what one finding leads to.
func decisionOfSeverity(s stocking.Severity) stocking.Decision {
	return [...]stocking.Decision{stocking.Note: stocking.Proceed, stocking.Advice: stocking.Advise, stocking.Stop: stocking.Hold}[s]
}
