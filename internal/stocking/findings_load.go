package stocking

import (
	"math"

	"commensal/internal/conflict"
)

// When the load asks for something: common practice, no source.
const (
	// heavyShare is the weekly share of water beyond which a tank is hard to keep up.
	heavyShare = 0.5
	// thinHours is how long the dissolved oxygen should last without any supply, a
	// power cut of an evening.
	thinHours = 4.0
	// feltRise and peakRise in mg/L nitrogen a day are from where ammonia in a new tank is felt, and
	// from where daily water changes cannot keep it down.
	feltRise, peakRise = 0.1, 0.5
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
