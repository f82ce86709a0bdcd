package stocking

import (
	"math"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// How turnover and the catalogue's flow grade compare: common practice, no source.
const (
	// torrentTurnover is the turnover in volumes an hour taken as grade 1, a torrent;
	// less is graded in proportion. Outlets and layout matter as much, so only a wide
	// mismatch is reported.
	torrentTurnover = 12.0
	// flowMargin is how far beyond a species' own band the grade must lie.
	flowMargin = 0.3
	// LeastTurnover is the turnover in volumes an hour under which a filter is weak.
	LeastTurnover = 2.0
)

// flow compares a known turnover with the water movement a species wants.
func (f *finder) flow(first int) {
	want, ok := f.Lines[first].Band(species.Flow)
	if f.Tank == nil || f.Tank.TurnoverPerHour <= 0 || !ok {
		return
	}
	grade := min(1, f.Tank.TurnoverPerHour/torrentTurnover)
	most, least := want.High+flowMargin, want.Low-flowMargin
	switch {
	case grade > most:
		f.addFlow(FlowTooStrong, first, math.Floor(most*torrentTurnover*10)/10)
	case grade < least:
		f.addFlow(FlowTooWeak, first, math.Ceil(least*torrentTurnover*10)/10)
	}
}

func (f *finder) addFlow(code Code, first int, to float64) {
	f.add(Advice, code, f.kindLines(first), f.moveTurnover(to),
		conflict.Evidence{Name: "turnover", Value: f.Tank.TurnoverPerHour, Unit: "per_hour"},
		conflict.Evidence{Name: "turnover_limit", Value: to, Unit: "per_hour"})
}
