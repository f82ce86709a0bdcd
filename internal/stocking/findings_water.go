package stocking

import (
	"math"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// sharedWater finds the parameters that no value suits. The two extreme lines are
// named: they alone rule it out.
func (f *finder) sharedWater() {
	for _, w := range f.apart {
		unit := parameterUnit[w.Parameter]
		lines := []int{min(w.Low, w.High), max(w.Low, w.High)}
		found := f.add(Stop, NoSharedWater, lines, nil,
			conflict.Evidence{Name: "low_range_low", Value: w.LowRange.Low, Unit: unit},
			conflict.Evidence{Name: "low_range_high", Value: w.LowRange.High, Unit: unit},
			conflict.Evidence{Name: "high_range_low", Value: w.HighRange.Low, Unit: unit},
			conflict.Evidence{Name: "high_range_high", Value: w.HighRange.High, Unit: unit},
			conflict.Evidence{Name: "difference", Value: w.Difference, Unit: unit})
		found.Statement.Actor, found.Statement.Other = f.Lines[w.Low].Species, f.Lines[w.High].Species
		found.Statement.Words = parameterWords(w.Parameter)
	}
}

// readings finds readings that do not suit a species.
func (f *finder) readings(first int) {
	for p, severity := range f.ReadingsOf(first) {
		switch {
		case severity == Stop:
			f.addReading(Stop, OutsideTolerated, first, species.Parameter(p))
		case severity == Advice, f.strain(first, species.Parameter(p)) > 0:
			f.addReading(severity, OutsidePreferred, first, species.Parameter(p))
		}
	}
}

func (f *finder) addReading(severity Severity, code Code, first int, p species.Parameter) {
	r, w, unit := f.Reading(p), &f.Lines[first].Species.Water[p], parameterUnit[p]
	var remedy *Change
	if into, ok := f.suiting(p, w); ok && !into.Contains(r.Value) {
		remedy = f.ReadingInto(p, r.Value, into)
	}
	found := f.add(severity, code, f.kindLines(first), remedy,
		conflict.Evidence{Name: "reading", Value: r.Value, Unit: unit},
		conflict.Evidence{Name: "tolerated_low", Value: w.Tolerated.Low, Unit: unit},
		conflict.Evidence{Name: "tolerated_high", Value: w.Tolerated.High, Unit: unit},
		conflict.Evidence{Name: "preferred_low", Value: w.Preferred.Low, Unit: unit},
		conflict.Evidence{Name: "preferred_high", Value: w.Preferred.High, Unit: unit})
	found.Statement.Words = parameterWords(p)
}

// suiting is the range to move a reading into: what everybody prefers, else what this species
// prefers and everybody tolerates. Where there is neither, ok is false: nobody is helped at the cost of the others.
func (f *finder) suiting(p species.Parameter, w *species.WaterRange) (into species.Range, ok bool) {
	e := f.WaterLimits(p)
	switch {
	case !e.Meet:
		return species.Range{}, false
	case e.Preferred.Low <= e.Preferred.High:
		return e.Preferred, true
	}
	return w.Preferred.Intersect(e.Tolerated)
}

// Swing is the lowest and the highest that one water parameter was measured at of late.
type Swing struct {
	Low, High float64
	Known     bool
}

// Swings are what the tank's readings spanned within the last Days, by parameter.
type Swings struct {
	Days int
	Of   [species.NumParameters]Swing
}

// wideSwing is the span within a week from which on a tank is not steady, by parameter, in °C, pH,
// °dH and ppt. Trade practice, no source: day and night in a heated tank and an ordinary
// water change stay below.
var wideSwing = [species.NumParameters]float64{3, 0.8, 5, 2}

// swings notes water that is not steady. It is only ever a note: the list is judged by
// the water as it is, and what made it swing may be over.
func (f *finder) swings() {
	if f.Tank == nil {
		return
	}
	for p, s := range f.Tank.Swings.Of {
		if s.Known && s.High-s.Low >= wideSwing[p] {
			found := f.add(Note, WaterSwings, nil, nil, f.swingEvidence(p)...)
			found.Statement.Words = parameterWords(species.Parameter(p))
		}
	}
}

// swingsOf notes water that was beyond what a species lives with, though it no longer is.
func (f *finder) swingsOf(first int) {
	if f.Tank == nil {
		return
	}
	for p, s := range f.Tank.Swings.Of {
		w := &f.Lines[first].Species.Water[p]
		now := f.Reading(species.Parameter(p))
		if !s.Known || !w.Known() || !now.Known || !w.Tolerated.Contains(now.Value) {
			continue
		}
		extreme := s.High
		if !w.Tolerated.Contains(s.Low) {
			extreme = s.Low
		}
		if w.Tolerated.Contains(extreme) {
			continue
		}
		unit := parameterUnit[p]
		found := f.add(Note, SwungOutside, f.kindLines(first), nil, append(f.swingEvidence(p),
			conflict.Evidence{Name: "extreme", Value: extreme, Unit: unit},
			conflict.Evidence{Name: "tolerated_low", Value: w.Tolerated.Low, Unit: unit},
			conflict.Evidence{Name: "tolerated_high", Value: w.Tolerated.High, Unit: unit})...)
		found.Statement.Words = parameterWords(species.Parameter(p))
	}
}

func (f *finder) swingEvidence(p int) []conflict.Evidence {
	s, unit := f.Tank.Swings.Of[p], parameterUnit[p]
	return []conflict.Evidence{{Name: "lowest", Value: s.Low, Unit: unit}, {Name: "highest", Value: s.High, Unit: unit},
		{Name: "days", Value: float64(f.Tank.Swings.Days)}}
}

// When the load asks for something: common practice, no source.
const (
	// heavyShare is the weekly share of water beyond which a tank is hard to keep up.
	heavyShare = 0.5
	// thinHours is how long the dissolved oxygen should last without any supply, a
	// power cut of an evening.
	thinHours = 4.0
	// feltRise and peakRise in mg/L nitrogen a day are from where a week of it in a new tank is felt, and
	// from where daily water changes cannot keep it down.
	feltRise, peakRise = 0.03, 0.5
	// shareStep rounds the share to change up to what a keeper can measure.
	shareStep = 0.05
	// leastRoom in mg/L keeps the remedy finite where the new water itself has nitrate.
	leastRoom = 1.0
)

// loads judges the typical values of the load; the bands are in the answer.
func (f *finder) loads() {
	l := f.Load
	if l == nil || f.Tank == nil {
		return
	}
	if l.Nitrate != nil {
		f.nitrate(l.Nitrate)
	}
	if l.Ammonia != nil {
		rise := l.Ammonia.DailyRise.Typical
		found := f.add(f.ammonia(rise), FilterImmature, nil, f.NewChange(MatureFilter, -1),
			conflict.Evidence{Name: "tan_rise", Value: l.Ammonia.DailyRise.Typical, Unit: "mg/L"},
			conflict.Evidence{Name: "unionized", Value: l.Ammonia.Unionized.Typical, Unit: "mg/L"})
		found.Postpones = rise >= peakRise && f.anyIncoming(f.all())
	}
	if l.Oxygen != nil && l.Oxygen.Demand.Typical > 0 && l.Oxygen.Hours.Typical < thinHours {
		f.add(Advice, OxygenThin, nil, f.roomFor(thinHours/l.Oxygen.Hours.Typical),
			conflict.Evidence{Name: "hours", Value: l.Oxygen.Hours.Typical, Unit: "h"},
			conflict.Evidence{Name: "demand", Value: l.Oxygen.Demand.Typical, Unit: "mg/h"},
			conflict.Evidence{Name: "saturation", Value: l.Saturation, Unit: "mg/L"})
	}
	if t := f.Tank.TurnoverPerHour; t > 0 && t < LeastTurnover {
		f.add(Advice, TurnoverLow, nil, f.moveTurnover(LeastTurnover),
			conflict.Evidence{Name: "turnover", Value: t, Unit: "per_hour"},
			conflict.Evidence{Name: "turnover_limit", Value: LeastTurnover, Unit: "per_hour"})
	}
}

// ammonia is how grave a daily rise of ammonia nitrogen in mg/L is where the filter is new.
func (f *finder) ammonia(rise float64) Severity {
	if rise >= feltRise {
		return Advice
	}
	return Note
}

// all are the positions of all lines.
func (f *finder) all() []int {
	out := make([]int, len(f.Lines))
	for i := range out {
		out[i] = i
	}
	return out
}

// nitrate reports a load that water changes hardly hold, a stop where one change a week
// cannot hold it at all, else a habit of changing that lets nitrate settle too high.
func (f *finder) nitrate(n *NitrateLoad) {
	share := n.ShareToHold.Typical
	ev := []conflict.Evidence{
		{Name: "rise", Value: n.WeeklyRise.Typical, Unit: "mg/L"},
		{Name: "ceiling", Value: NitrateCeiling, Unit: "mg/L"},
		{Name: "share_needed", Value: share, Unit: "share"},
	}
	switch {
	case !n.Holds[1]:
		f.add(Stop, LoadTooHeavy, nil, f.roomFor(f.timesLarger(n)), ev...)
	case share > heavyShare:
		f.add(Advice, LoadHeavy, nil, f.roomFor(f.timesLarger(n)), ev...)
	case n.Change == nil:
	case *n.Change == 0:
		f.add(Advice, NoWaterChange, nil, f.changeWater(0, share), ev...)
	case n.Before.Typical > NitrateCeiling:
		ev = append(ev, conflict.Evidence{Name: "before", Value: n.Before.Typical, Unit: "mg/L"},
			conflict.Evidence{Name: "share", Value: *n.Change, Unit: "share"})
		f.add(Advice, NitrateHigh, nil, f.changeWater(*n.Change, share), ev...)
	}
}

// timesLarger is how many times more water would bring the share down to heavyShare.
func (f *finder) timesLarger(n *NitrateLoad) float64 {
	room := max(NitrateCeiling-n.Source, leastRoom)
	return n.WeeklyRise.Typical / (heavyShare * room)
}

// changeWater is the least weekly change that holds the ceiling, rounded up.
func (f *finder) changeWater(from, need float64) *Change {
	to := min(1, math.Ceil(need/shareStep-1e-9)*shareStep)
	to = max(math.Round(to*100)/100, shareStep)
	c := f.NewChange(ChangeWater, -1,
		conflict.Evidence{Name: "from", Value: from, Unit: "share"}, conflict.Evidence{Name: "to", Value: to, Unit: "share"})
	c.From, c.To = from, to
	return c
}

// roomFor is a standard tank so many times the present volume; nil where the dimensions
// are not known or none is so large.
func (f *finder) roomFor(times float64) *Change {
	if !f.HasFootprint() || f.Tank.HeightCM <= 0 {
		return nil
	}
	need := times * f.Tank.Volume()
	for _, size := range conflict.StandardTanks {
		if size.FootprintCM2()*size.HeightCM/1000 >= need {
			return f.ToStandardTank(max(f.Tank.LengthCM, size.LengthCM),
				max(size.FootprintCM2(), f.Tank.LengthCM*f.Tank.WidthCM), max(size.HeightCM, f.Tank.HeightCM))
		}
	}
	return nil
}
