package lists

import (
	"commensal/api/gen"
	"commensal/api/wire"
	"commensal/internal/species"
	"commensal/internal/stocking"
)

// outlook is an outlook on the wire.
func (w *listWire) outlook(o *stocking.Outlook) gen.Outlook {
	out := gen.Outlook{
		Growth: make([]gen.LineGrowth, len(o.Growth)), Events: make([]gen.OutlookEvent, len(o.Events)),
		Commitments: make([]gen.Commitment, len(o.Commitments)), Complete: o.Complete,
	}
	for i := range o.Growth {
		out.Growth[i] = w.growth(&o.Growth[i])
	}
	for i := range o.Events {
		out.Events[i] = w.event(&o.Events[i])
	}
	for i, c := range o.Commitments {
		out.Commitments[i] = gen.Commitment{Species: w.refs[c.Lines[0]].Id, Lines: c.Lines,
			Years: gen.Spread{Low: wire.Decimals(c.Years.Low, 1), Typical: wire.Decimals(c.Years.Typical, 1), High: wire.Decimals(c.Years.High, 1)}}
	}
	return out
}

func (w *listWire) event(e *stocking.Event) gen.OutlookEvent {
	out := gen.OutlookEvent{
		Code: gen.OutlookEventCode(e.Kind), Lines: []int{e.First}, Months: monthsWire(e.Months),
		Decision: gen.Decision(e.Decision.String()), Summary: w.words.Event(e),
	}
	switch e.Kind {
	case stocking.PairingRises:
		out.Lines = append(out.Lines, e.Second)
		fallthrough
	case stocking.OwnKindRises:
		level := gen.Level(e.Level.String())
		out.Level = &level
	}
	out.Species = w.ids(out.Lines)
	return out
}

// monthsWire leaves out the months that are not dated.
func monthsWire(m stocking.Months) gen.MonthBand {
	dated := func(month int) *int {
		if month >= stocking.Beyond {
			return nil
		}
		return &month
	}
	return gen.MonthBand{Earliest: dated(m.Low), Typical: dated(m.Typical), Latest: dated(m.High)}
}

// growthMonths are the months for which lengths are told.
var growthMonths = [...]int{0, 3, 6, 9, 12, 18, 24, 36, 48, 60, 84, stocking.MaxMonths}

func (w *listWire) growth(g *stocking.LineGrowth) gen.LineGrowth {
	out := gen.LineGrowth{Line: g.Line, Species: w.refs[g.Line].Id, Adult: monthsWire(g.Adult)}
	if g.Sex != species.Unsexed {
		sex := gen.Sex(g.Sex.String())
		out.Sex = &sex
	}
	for _, month := range growthMonths {
		at := g.LengthAt(month)
		out.LengthsCm = append(out.LengthsCm, gen.LengthAt{Month: month,
			Low: wire.Decimals(at.Low, 1), Typical: wire.Decimals(at.Typical, 1), High: wire.Decimals(at.High, 1)})
		if month >= g.Adult.High {
			break
		}
	}
	return out
}
