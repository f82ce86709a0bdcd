package answers

import (
	"commensal/internal/pages/links"
	"commensal/internal/species"
	"commensal/internal/stocking"
)

// Growth is lengths over time, with the moments when something starts.
type Growth struct {
	Months  int // how far the curves reach
	Curves  []Curve
	Events  []Moment // soonest first
	FromAge float64  // months of age at the start where nothing was told; 0 where something was
}

// Curve is how one kind grows: its length in cm at each month from 0.
type Curve struct {
	Kind Kind
	Sex  species.Sex
	CM   []float64
}

// Moment is something that starts in a month from now.
type Moment struct {
	Month    int
	Sentence string
	Level    string // reached level of a pairing
	Kinds    []Kind
}

const (
	// shopAge is the age in months at which most kinds are sold: common practice, no
	// source. Curves start there where neither length nor age is told.
	shopAge = 3
	// leastMonths and mostMonths bound how far a picture of growth reaches.
	leastMonths, mostMonths = 12, 36
	// maxCurves is the greatest number of curves in one picture.
	maxCurves = 4
)

// PairGrowth is how two kinds grow up side by side; nil where that is not on record.
func (d *Desk) PairGrowth(q links.Pair) *Growth {
	l := links.List{Tank: q.Tank, Residents: []links.Line{
		{Name: q.First, Count: q.Fish[0].Count, Sex: q.Fish[0].Sex, LengthCM: q.Fish[0].LengthCM}}}
	if q.First != q.Second {
		l.Residents = append(l.Residents, links.Line{Name: q.Second, Count: q.Fish[1].Count, Sex: q.Fish[1].Sex, LengthCM: q.Fish[1].LengthCM})
	}
	return d.ListGrowth(l)
}

// ListGrowth is how a list grows up. Where nothing is told of any length or age, all
// are taken to be as young as they are sold. It is nil where growth is not on record.
func (d *Desk) ListGrowth(q links.List) *Growth {
	stock, ok := d.stock(&q)
	if !ok {
		return nil
	}
	g := &Growth{}
	if !anyTold(stock.Lines) {
		g.FromAge = shopAge
		for i := range stock.Lines {
			stock.Lines[i].AgeMonth = shopAge
		}
	}
	check, err := stocking.Judge(d.book, stock)
	if err != nil || len(check.Outlook.Growth) == 0 {
		return nil
	}
	g.Months = min(max(leastMonths, check.Outlook.Horizon), mostMonths)
	d.curves(g, &check)
	return g
}

func anyTold(lines []stocking.Line) bool {
	for i := range lines {
		if lines[i].LengthCM > 0 || lines[i].AgeMonth > 0 {
			return true
		}
	}
	return false
}

func (d *Desk) curves(g *Growth, check *stocking.Check) {
	kind := func(line int) Kind { return kindOf(d.book.Snapshot.At(check.Lines[line].Index)) }
	o := &check.Outlook
	for i := range o.Growth[:min(len(o.Growth), maxCurves)] {
		l := &o.Growth[i]
		c := Curve{Kind: kind(l.Line), Sex: l.Sex, CM: make([]float64, g.Months+1)}
		for m := range c.CM {
			c.CM[m] = l.LengthAt(m).Typical
		}
		g.Curves = append(g.Curves, c)
	}
	w := listWords
	for i := range o.Events {
		e := &o.Events[i]
		if e.Months.Typical > g.Months {
			continue
		}
		m := Moment{Month: e.Months.Typical, Sentence: w.Event(e), Kinds: []Kind{kind(e.First)}}
		if e.Kind == stocking.PairingRises || e.Kind == stocking.OwnKindRises {
			m.Level = e.Level.String()
		}
		if e.Second != e.First {
			m.Kinds = append(m.Kinds, kind(e.Second))
		}
		g.Events = append(g.Events, m)
	}
}
