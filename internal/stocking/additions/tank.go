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
	tolerated := &sc.kinds[w.rank.index].tolerated
	for p := range sc.water {
		own, list := &tolerated[p], &sc.water[p]
		switch {
		case !list.Known:
		case own.Low > list.Tolerated.High:
			sc.against(w, reason{decision: stocking.Hold, with: list.Low, water: p})
		case own.High < list.Tolerated.Low:
			sc.against(w, reason{decision: stocking.Hold, with: list.High, water: p})
		}
	}
}

// countTank counts what meetTank finds without making the findings, which is most of
// what a scan would spend; what is as it is customary is not looked at.
func (sc *ranking) countTank(w *candidate, last int) {
	k, tank := &sc.kinds[w.rank.index], sc.with.Tank
	sc.countSale(w, k, last)
	if tank == nil {
		return
	}
	if !k.likes(tank) {
		for _, severity := range sc.with.ReadingsOf(last) {
			sc.against(w, reason{decision: decisionOfSeverity(severity)})
		}
	}
	if tank.HasFootprint() && !k.housedIn(tank) {
		for _, severity := range tank.ShortFor(w.joiner).Severities() {
			sc.against(w, reason{decision: decisionOfSeverity(severity)})
		}
	}
	// Beyond a proceed these are never more than advice, but for what starves in a new tank.
	if sc.allowed == stocking.Proceed || tank.FilterMature != nil && !*tank.FilterMature {
		sc.found(w, sc.with.FindHabits(sc.scratch[:0], last), false)
	}
}

// countSale counts what is found about the sale.
func (sc *ranking) countSale(w *candidate, k *kind, last int) {
	if sc.here.Known() {
		sc.found(w, sc.with.FindSale(sc.scratch[:0], last), false)
		return
	}
	sale := &k.unseen
	if sc.with.Tank.Volume() > 0 || sc.with.HasFootprint() {
		sale = &k.seen
	}
	for _, severity := range sale {
		sc.against(w, reason{decision: decisionOfSeverity(severity)})
	}
}

// decisionOfSeverity is what one finding leads to.
func decisionOfSeverity(s stocking.Severity) stocking.Decision {
	return [...]stocking.Decision{stocking.Note: stocking.Proceed, stocking.Advice: stocking.Advise, stocking.Stop: stocking.Hold}[s]
}
