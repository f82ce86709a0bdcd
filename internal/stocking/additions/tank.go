package additions

import (
	"commensal/internal/species"
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
	tank := sc.with.Tank
	if tank == nil {
		return
	}
	for p := range tank.Reading {
		r, own := tank.Reading[p], &w.joiner.Species.Water[p]
		switch {
		case !r.Known || !own.Known() || own.Preferred.Contains(r.Value):
		case own.Tolerated.Contains(r.Value):
			sc.against(w, reason{decision: stocking.Advise})
		default:
			sc.against(w, reason{decision: stocking.Hold})
		}
	}
	if tank.HasFootprint() {
		sc.countSize(w, tank)
	}
	if sc.allowed == stocking.Proceed { // beyond it these never are more than advice
		sc.found(w, sc.with.FindHabits(sc.scratch[:0], last), false)
	}
}

func (sc *ranking) countSize(w *candidate, tank *stocking.Tank) {
	length, okL := w.joiner.Band(species.TankLength)
	width, okW := w.joiner.Band(species.TankWidth)
	short := stocking.Shortage(tank.LengthCM, length, okL)
	need := species.Band{Low: length.Low * width.Low, Typical: length.Typical * width.Typical}
	small := stocking.Shortage(tank.LengthCM*tank.WidthCM, need, okL && okW)
	if short > stocking.Note {
		sc.against(w, reason{decision: decisionOfSeverity(short)})
	}
	if small > short {
		sc.against(w, reason{decision: decisionOfSeverity(small)})
	}
	if h, ok := w.joiner.Band(species.TankHeight); ok && tank.HeightCM > 0 && tank.HeightCM < h.Low {
		sc.against(w, reason{decision: stocking.Advise})
	}
}

// decisionOfSeverity is what one finding leads to.
func decisionOfSeverity(s stocking.Severity) stocking.Decision {
	return [...]stocking.Decision{stocking.Note: stocking.Proceed, stocking.Advice: stocking.Advise, stocking.Stop: stocking.Hold}[s]
}
