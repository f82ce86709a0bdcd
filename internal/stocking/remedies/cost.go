package remedies

import (
	"math"

	"commensal/internal/conflict"
	"commensal/internal/stocking"
)

// What changes cost a keeper in money, work and regret, in no unit: only the order
// matters. Common practice, no source.
const (
	costLid      = 1.0
	costReading  = 2.0 // to move one property of the water, and hold it there
	costTurnover = 2.0
	costMature   = 2.0 // weeks of waiting
	costReduce   = 2.0 // fewer fish of one line
	costSand     = 3.0
	costPlants   = 3.0 // to do without plants

	costWater     = 1.0 // to change more water every week,
	costWaterAll  = 4.0 // and for all of it on top
	costCover     = 1.0 // to add wood, rock or plants,
	costCoverAll  = 4.0 // and for a full tank of them on top
	costMore      = 1.0 // to buy more fish of one kind,
	costMoreEach  = 0.2 // and for each of them on top
	costTank      = 5.0 // to move to a larger tank,
	costTankTwice = 4.0 // and for each doubling of its volume on top

	costLeaveOut = 6.0  // times the weight of the line
	costSeparate = 12.0 // a further tank for one line
)

// cost is what a change costs; the cost of several is their sum.
func (m *planner) cost(c *stocking.Change) float64 {
	switch c.Kind {
	case stocking.CloseLid:
		return costLid
	case stocking.MoveReading:
		return costReading
	case stocking.MoveTurnover:
		return costTurnover
	case stocking.MatureFilter:
		return costMature
	case stocking.ReduceGroup:
		return costReduce
	case stocking.LaySand:
		return costSand
	case stocking.RemovePlants:
		return costPlants
	case stocking.ChangeWater:
		return costWater + costWaterAll*max(0, c.To-c.From)
	case stocking.MoreCover:
		return costCover + costCoverAll*max(0, c.To-c.From)
	case stocking.RaiseGroup:
		return costMore + costMoreEach*float64(max(0, c.Count-stocking.FishIn(m.book, &m.check.Lines[c.Line])))
	case stocking.AddFemales:
		return costMore + costMoreEach*float64(c.Count)
	case stocking.LargerTank:
		return costTank + costTankTwice*max(0, math.Log2(c.Size.FootprintCM2()*c.Size.HeightCM/1000/max(m.stock.Tank.Volume(), 1)))
	case stocking.LeaveLineOut:
		return costLeaveOut * m.check.Lines[c.Line].Weight
	}
	return costSeparate
}

// coverSteps and fullCover are the covers that are tried.
const (
	coverStep = 0.1
	fullCover = 0.9
)

// gather lists the changes to try, the cheapest first.
func (m *planner) gather() (out []stocking.Change) {
	out = m.fromFindings()
	out = append(out, m.readings()...)
	out = append(out, m.covers()...)
	out = append(out, m.tanks()...)
	if len(m.check.Lines) > 1 {
		for i := range m.check.Lines {
			if l := &m.check.Lines[i]; !l.Keep && (l.Incoming || !m.joining) { // nobody gives away fish so that others may join
				out = append(out, m.ofLine(stocking.LeaveLineOut, i))
			}
			out = append(out, m.ofLine(stocking.Separate, i))
		}
	}
	return m.cheapestFirst(out)
}

func (m *planner) ofLine(kind stocking.ChangeKind, line int) stocking.Change {
	return *m.base.NewChange(kind, line)
}

// fromFindings are the remedies of the findings, but for those that a search of its own
// finds, and for a second measurement, which changes nothing.
func (m *planner) fromFindings() (out []stocking.Change) {
	for i := range m.check.Findings {
		f := &m.check.Findings[i]
		if r := f.Remedy; r != nil && f.Severity > stocking.Note && !m.check.AsksForMoreOfHeld(r) && !m.searched(r.Kind) && !holds(out, r) {
			out = append(out, *r)
		}
	}
	return out
}

func (m *planner) searched(kind stocking.ChangeKind) bool {
	switch kind {
	case stocking.LeaveLineOut, stocking.Separate, stocking.LargerTank, stocking.MoveReading, stocking.MoreCover, stocking.CorrectLength:
		return true
	}
	return false
}

// holds reports whether a change is on a list already.
func holds(list []stocking.Change, c *stocking.Change) bool {
	for i := range list {
		o := &list[i]
		if o.Kind == c.Kind && o.Line == c.Line && o.Parameter == c.Parameter && o.To == c.To && o.Count == c.Count {
			return true
		}
	}
	return false
}

// readings move each reading that is outside the shared water into it: what all prefer,
// else where the worst-off is least stressed.
func (m *planner) readings() (out []stocking.Change) {
	for _, w := range m.check.Shared.Windows {
		r := m.base.Reading(w.Parameter)
		if !r.Known || (w.PreferredOK && w.Preferred.Contains(r.Value)) {
			continue
		}
		into := w.Preferred
		if !w.PreferredOK {
			into.Low, into.High = w.Best, w.Best
		}
		out = append(out, *m.base.ReadingInto(w.Parameter, r.Value, into))
	}
	return out
}

// covers are denser covers in steps.
func (m *planner) covers() (out []stocking.Change) {
	t := m.stock.Tank
	if t == nil {
		return nil
	}
	from := conflict.NormalCover
	if t.CoverKnown {
		from = t.Cover
	}
	for n := math.Floor(from/coverStep+1e-9) + 1; n*coverStep <= fullCover+1e-9; n++ {
		to := math.Round(n) / 10
		c := m.base.NewChange(stocking.MoreCover, -1,
			conflict.Evidence{Name: "from", Value: from, Unit: "share"}, conflict.Evidence{Name: "to", Value: to, Unit: "share"})
		c.From, c.To = from, to
		out = append(out, *c)
	}
	return out
}

// tanks are the standard tanks that are larger than this one and no smaller any way, but for those longer than a
// home takes where this one is not. The filter is taken to grow with the tank: the same turnover.
func (m *planner) tanks() (out []stocking.Change) {
	if !m.base.HasFootprint() {
		return nil
	}
	t := m.stock.Tank
	for _, size := range conflict.StandardTanks {
		if size.LengthCM <= max(stocking.LongestHome, t.LengthCM) && size.LengthCM >= t.LengthCM && size.HeightCM >= t.HeightCM && size.FootprintCM2() > t.LengthCM*t.WidthCM {
			out = append(out, *m.base.ToStandardTank(size.LengthCM, size.FootprintCM2(), size.HeightCM))
		}
	}
	return out
}
