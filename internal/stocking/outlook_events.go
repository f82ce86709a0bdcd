package stocking

import (
	"cmp"
	"math"
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// events writes out everything that comes about, soonest first, then the highest level,
// then by line.
func (f *future) events() (out []Event, complete bool) {
	complete = true
	for i := range f.Pairs {
		if f.Budget.Ended() {
			complete = false
			break
		}
		if p := &f.Pairs[i]; f.changes(p) {
			for _, r := range f.risesOf(p, conflict.Low) {
				out = append(out, f.eventOf(&r))
			}
		}
	}
	for i := range f.growers {
		if f.growers[i].growing {
			out = f.tankEvents(out, i)
			out = f.groundEvent(out, i)
		}
	}
	slices.SortStableFunc(out, func(a, b Event) int {
		return cmp.Or(cmp.Compare(a.Months.Typical, b.Months.Typical), cmp.Compare(b.Level, a.Level),
			cmp.Compare(a.First, b.First), cmp.Compare(a.Second, b.Second))
	})
	return out, complete
}

// eventOf puts a rise into words at the lengths of that day.
func (f *future) eventOf(r *rise) Event {
	e := Event{Kind: PairingRises, First: r.pair.First, Second: r.pair.Second, Months: f.dated(r), Level: r.level, Decision: r.decision}
	e.When = when(e.Months)
	if f.Lines[e.First].Kind == f.Lines[e.Second].Kind {
		e.Kind = OwnKindRises
	}
	c := f.conditions(e.First, e.Second, r.month, usual)
	_, e.What = f.Brief(f.profile(e.First, r.month, usual), f.profile(e.Second, r.month, usual), &c)
	e.What = tipped(e.What, e.Kind)
	return e
}

// tipped says of a pairing whose main reason does not grow, such as water that suits one
// of them ill, that growing tips it over.
func tipped(s conflict.Statement, kind EventKind) conflict.Statement {
	switch s.Code {
	case conflict.SummaryWater, conflict.SummaryDiet, conflict.SummaryFeeding, conflict.SummaryRoom, conflict.SummaryHybridisation:
		code := OutlookTips
		if kind == OwnKindRises {
			code = OutlookTipsOwn
		}
		return conflict.Statement{Code: code, Actor: s.Actor, Other: s.Other}
	}
	return s
}

// when says the months.
func when(m Months) conflict.Statement {
	s := conflict.Statement{Code: WhenBetween, Evidence: []conflict.Evidence{
		{Name: "month", Value: float64(m.Typical), Unit: "month"},
		{Name: "month_low", Value: float64(m.Low)}, {Name: "month_high", Value: float64(m.High)},
	}}
	switch {
	case m.Typical == 0:
		return conflict.Statement{Code: WhenNow}
	case m.Typical >= Beyond:
		return conflict.Statement{Code: WhenGrown}
	case m.High >= Beyond:
		s.Code, s.Evidence = WhenFrom, s.Evidence[:2]
	case m.Low == m.High:
		s.Code, s.Evidence = WhenAbout, s.Evidence[:1]
	}
	return s
}

// tankEvents dates when a growing line comes to need a longer tank or a larger floor
// than there is. What it needs is the customary minimum of adults in proportion to its
// length, the floor to the square of it: common practice, no source.
func (f *future) tankEvents(out []Event, i int) []Event {
	if !f.HasFootprint() {
		return out
	}
	r := &f.Lines[i]
	length, okL := r.Band(species.TankLength)
	width, okW := r.Band(species.TankWidth)
	if !okL {
		return out
	}
	have, need := f.Tank.LengthCM, length.Typical
	if have < need {
		e := f.outgrows(i, OutgrowsTank, have/need)
		e.What.Code = OutlookTankLength
		e.What.Evidence = []conflict.Evidence{{Name: "tank_length", Value: have, Unit: "cm"}, {Name: "needed_length", Value: need, Unit: "cm"}}
		return append(out, e)
	}
	floor, want := have*f.Tank.WidthCM, need*width.Typical
	if okW && floor < want {
		e := f.outgrows(i, OutgrowsFloor, math.Sqrt(floor/want))
		e.What.Code = OutlookFootprint
		e.What.Evidence = []conflict.Evidence{
			{Name: "tank_length", Value: have, Unit: "cm"}, {Name: "tank_width", Value: f.Tank.WidthCM, Unit: "cm"},
			{Name: "needed_length", Value: need, Unit: "cm"}, {Name: "needed_width", Value: width.Typical, Unit: "cm"}}
		out = append(out, e)
	}
	return out
}

// outgrows dates when the first sex of a line passes a share of its adult length.
func (f *future) outgrows(i int, kind EventKind, share float64) Event {
	m := f.growers[i].months(func(c *course) float64 {
		first := c.grown
		for sex := range c.adult {
			first = min(first, c.monthsTo(sex, share*c.adult[sex]))
		}
		return first
	})
	return Event{Kind: kind, First: i, Second: i, Months: m, When: when(m), What: conflict.Statement{Actor: f.Lines[i].Species}}
}

// groundEvent dates when a line that defends ground as an adult matures.
func (f *future) groundEvent(out []Event, i int) []Event {
	r, g := &f.Lines[i], &f.growers[i]
	radius := r.typical(species.Territory, 0)
	fierce := max(r.typical(species.AggressionOthers, 0), r.typical(species.AggressionOwn, 0))
	if g.paths[usual].mature <= g.paths[usual].age || radius <= 0 || fierce < territorialFrom {
		return out
	}
	m := g.months(func(c *course) float64 { return min(c.grown, max(0, c.mature-c.age)) })
	return append(out, Event{Kind: ClaimsGround, First: i, Second: i, Months: m, When: when(m),
		What: conflict.Statement{Code: OutlookGround, Actor: r.Species, Evidence: []conflict.Evidence{
			{Name: "territory", Value: radius, Unit: "cm"}}}})
}
