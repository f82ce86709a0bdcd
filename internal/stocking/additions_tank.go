package stocking

import "commensal/internal/species"

// meetTank looks at what is found about the species in this tank.
func (sc *scan) meetTank(w *weighing, last int) {
	f := &sc.find
	f.out = f.out[:0]
	f.readings(last)
	f.tankSize(last)
	f.keeping(last)
	f.flow(last)
	sc.found(w, false)
}

// found counts the findings of the finder.
func (sc *scan) found(w *weighing, list bool) {
	for i := range sc.find.out {
		r := reason{decision: decisionOfSeverity(sc.find.out[i].Severity), with: TheTank, list: list}
		if r.decision > sc.bar && w.gather {
			f := sc.find.out[i]
			r.finding = &f
		}
		sc.against(w, r)
	}
}

// meetWater looks for parameters that the species shares with no other line, or not
// with the one that is furthest from it.
func (sc *scan) meetWater(w *weighing) {
	for p := range sc.water {
		own, list := &w.species().Water[p], &sc.water[p]
		if !own.Known() || !list.known {
			continue
		}
		switch {
		case own.Tolerated.Low > list.tolerated.High:
			sc.against(w, reason{decision: Hold, with: list.low, water: p})
		case own.Tolerated.High < list.tolerated.Low:
			sc.against(w, reason{decision: Hold, with: list.high, water: p})
		}
	}
}

// countTank counts what meetTank finds without making the findings, which is most of
// what a scan would spend.
func (sc *scan) countTank(w *weighing, last int) {
	tank := sc.with.tank
	if tank == nil {
		return
	}
	for p := range tank.Reading {
		r, own := tank.Reading[p], &w.joiner.species.Water[p]
		switch {
		case !r.Known || !own.Known() || own.Preferred.Contains(r.Value):
		case own.Tolerated.Contains(r.Value):
			sc.against(w, reason{decision: Advise})
		default:
			sc.against(w, reason{decision: Hold})
		}
	}
	if tank.HasFootprint() {
		sc.countSize(w, tank)
	}
	if sc.bar == Proceed { // beyond it these never are more than advice
		f := &sc.find
		f.out = f.out[:0]
		f.keeping(last)
		f.flow(last)
		sc.found(w, false)
	}
}

func (sc *scan) countSize(w *weighing, tank *Tank) {
	length, okL := w.joiner.band(species.TankLength)
	width, okW := w.joiner.band(species.TankWidth)
	short := shortage(tank.LengthCM, length, okL)
	need := species.Band{Low: length.Low * width.Low, Typical: length.Typical * width.Typical}
	small := shortage(tank.LengthCM*tank.WidthCM, need, okL && okW)
	if short > Note {
		sc.against(w, reason{decision: decisionOfSeverity(short)})
	}
	if small > short {
		sc.against(w, reason{decision: decisionOfSeverity(small)})
	}
	if h, ok := w.joiner.band(species.TankHeight); ok && tank.HeightCM > 0 && tank.HeightCM < h.Low {
		sc.against(w, reason{decision: Advise})
	}
}

// decisionOfSeverity is what one finding leads to.
func decisionOfSeverity(s Severity) Decision {
	return [...]Decision{Note: Proceed, Advice: Advise, Stop: Hold}[s]
}
