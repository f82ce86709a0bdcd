package stocking

import (
	"math"

	"commensal/internal/conflict"
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
func (m *mender) cost(c *Change) float64 {
	switch c.Kind {
	case CloseLid:
		return costLid
	case MoveReading:
		return costReading
	case MoveTurnover:
		return costTurnover
	case MatureFilter:
		return costMature
	case ReduceGroup:
		return costReduce
	case LaySand:
		return costSand
	case RemovePlants:
		return costPlants
	case ChangeWater:
		return costWater + costWaterAll*max(0, c.To-c.From)
	case MoreCover:
		return costCover + costCoverAll*max(0, c.To-c.From)
	case RaiseGroup:
		return costMore + costMoreEach*float64(max(0, c.Count-Heads(m.book, &m.check.Lines[c.Line])))
	case AddFemales:
		return costMore + costMoreEach*float64(c.Count)
	case LargerTank:
		return costTank + costTankTwice*max(0, math.Log2(c.Size.FootprintCM2()*c.Size.HeightCM/1000/max(m.stock.Tank.Volume(), 1)))
	case LeaveLineOut:
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
func (m *mender) gather() (out []Change) {
	out = m.fromFindings()
	out = append(out, m.readings()...)
	out = append(out, m.covers()...)
	out = append(out, m.tanks()...)
	if len(m.check.Lines) > 1 {
		for i := range m.check.Lines {
			if !m.check.Lines[i].Keep {
				out = append(out, m.ofLine(LeaveLineOut, i))
			}
			out = append(out, m.ofLine(Separate, i))
		}
	}
	return m.cheapestFirst(out)
}

func (m *mender) ofLine(kind ChangeKind, line int) Change {
	f := finder{judging: m.base}
	return *f.change(kind, line)
}

// fromFindings are the remedies of the findings, but for those that a search of its own
// finds, and for a second measurement, which changes nothing.
func (m *mender) fromFindings() (out []Change) {
	for i := range m.check.Findings {
		f := &m.check.Findings[i]
		if r := f.Remedy; r != nil && f.Severity > Note && !m.searched(r.Kind) && !holds(out, r) {
			out = append(out, *r)
		}
	}
	return out
}

func (m *mender) searched(kind ChangeKind) bool {
	switch kind {
	case LeaveLineOut, Separate, LargerTank, MoveReading, MoreCover, CorrectLength:
		return true
	}
	return false
}

// holds reports whether a change is on a list already.
func holds(list []Change, c *Change) bool {
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
func (m *mender) readings() (out []Change) {
	f := finder{judging: m.base}
	for _, w := range m.check.Shared.Windows {
		r := m.base.reading(w.Parameter)
		if !r.Known || (w.PreferredOK && w.Preferred.Contains(r.Value)) {
			continue
		}
		into := w.Preferred
		if !w.PreferredOK {
			into.Low, into.High = w.Best, w.Best
		}
		out = append(out, *f.moveReading(w.Parameter, r.Value, into))
	}
	return out
}

// covers are denser covers in steps.
func (m *mender) covers() (out []Change) {
	t := m.stock.Tank
	if t == nil {
		return nil
	}
	from := conflict.NormalCover
	if t.CoverKnown {
		from = t.Cover
	}
	f := finder{judging: m.base}
	for n := math.Floor(from/coverStep+1e-9) + 1; n*coverStep <= fullCover+1e-9; n++ {
		to := math.Round(n) / 10
		c := f.change(MoreCover, -1,
			conflict.Evidence{Name: "from", Value: from, Unit: "share"}, conflict.Evidence{Name: "to", Value: to, Unit: "share"})
		c.From, c.To = from, to
		out = append(out, *c)
	}
	return out
}

// tanks are the standard tanks that are larger than this one and no smaller any way. The
// filter is taken to grow with the tank: the same turnover.
func (m *mender) tanks() (out []Change) {
	if !m.base.hasFootprint() {
		return nil
	}
	f := finder{judging: m.base}
	t := m.stock.Tank
	for _, size := range conflict.StandardTanks {
		if size.LengthCM >= t.LengthCM && size.HeightCM >= t.HeightCM && size.FootprintCM2() > t.LengthCM*t.WidthCM {
			out = append(out, *f.tankOf(size.LengthCM, size.FootprintCM2(), size.HeightCM))
		}
	}
	return out
}
