package records

import (
	"slices"

	"commensal/api/gen"
	"commensal/api/lists"
	"commensal/api/wire"
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
)

// understood is the list as it was understood: species by id, quantities in SI units, nothing that
// was not said. Read again, it is the same list.
func understood(q *lists.Question) gen.RecordedInput {
	out := gen.RecordedInput{Tank: understoodTank(q.Stock.Tank), WantedLevel: gen.Level(q.Stock.Wanted.String()), Units: gen.Si}
	if q.US {
		out.Units = gen.Us
	}
	if q.Stock.Region != "" {
		out.Region = &q.Stock.Region
	}
	if slices.ContainsFunc(q.Stock.Others, func(o stocking.Other) bool { return o.Good == "" }) {
		out.Unmatched = wire.Present(gen.SetAside) // it is set aside again
	}
	lines := understoodLines(q)
	out.Residents, out.Incoming = lines[:len(q.Asked.Residents)], lines[len(q.Asked.Residents):]
	if q.Stock.Tank != nil {
		out.Swings = recordedSwings(&q.Stock.Tank.Swings)
	}
	return out
}

// understoodLines are all lines in the caller's order; those that are not judged stand by their name.
func understoodLines(q *lists.Question) []gen.LineInput {
	out := make([]gen.LineInput, len(q.Stock.Lines)+len(q.Stock.Others))
	for i := range q.Stock.Lines {
		l := &q.Stock.Lines[i]
		out[l.Refs[0]] = understoodLine(q.Book.Snapshot, l)
		if len(l.Meanings) > 1 {
			out[l.Refs[0]].Species = l.Word
		}
	}
	for _, o := range q.Stock.Others {
		out[o.Ref] = gen.LineInput{Species: o.Word}
	}
	for i := range out {
		out[i].Ref = lists.LineAsked(q.Asked, i).Ref
	}
	return out
}

func understoodLine(snap *species.Snapshot, l *stocking.Line) gen.LineInput {
	out := gen.LineInput{
		Species: string(snap.At(l.Index).ID), Count: wire.Present(float64(l.Count)), LengthCm: quantityOf(l.LengthCM, l.LengthCM > 0),
		AgeMonths: wire.Present(l.AgeMonth), MonthsObserved: wire.Present(l.MonthsObserved), Keep: wire.Present(l.Keep), Weight: wire.Present(l.Weight),
	}
	if l.Sex != species.Unsexed {
		out.Sex = wire.Present(gen.Sex(l.Sex.String()))
	}
	switch l.Observed {
	case conflict.Calmer:
		out.Disposition = wire.Present(gen.Calmer)
	case conflict.Fiercer:
		out.Disposition = wire.Present(gen.Fiercer)
	}
	return out
}

func understoodTank(t *stocking.Tank) *gen.TankInput {
	if t == nil {
		return nil
	}
	out := &gen.TankInput{
		LengthCm: quantityOf(t.LengthCM, t.LengthCM > 0), WidthCm: quantityOf(t.WidthCM, t.WidthCM > 0), HeightCm: quantityOf(t.HeightCM, t.HeightCM > 0),
		VolumeL: quantityOf(t.VolumeL, t.VolumeL > 0), TurnoverPerHour: wire.Present(t.TurnoverPerHour), WeeklyChange: t.WeeklyChange, Lid: t.Lid,
		FilterMature: t.FilterMature, Planted: t.Planted, SourceNitrateMgL: t.SourceNitrate,
	}
	if t.CoverKnown {
		out.Cover = &t.Cover
	}
	if t.Substrate != "" {
		out.Substrate = wire.Present(gen.TankInputSubstrate(t.Substrate))
	}
	for p, at := range [species.NumParameters]**gen.Quantity{&out.TemperatureC, &out.Ph, &out.GhDh, &out.SalinityPpt} {
		*at = quantityOf(t.Reading[p].Value, t.Reading[p].Known)
	}
	return out
}

// quantityOf is a number as a request may have it, or nil.
func quantityOf(x float64, known bool) *gen.Quantity {
	if !known {
		return nil
	}
	text := gen.Quantity(wire.Plain(x))
	return &text
}

// swingSlots are the places of the swings, by parameter.
func swingSlots(s *gen.RecordedSwings) [species.NumParameters]**gen.Interval {
	return [...]**gen.Interval{&s.TemperatureC, &s.Ph, &s.GhDh, &s.SalinityPpt}
}

func recordedSwings(s *stocking.Swings) *gen.RecordedSwings {
	out, any := &gen.RecordedSwings{Days: float64(s.Days)}, false
	for p, at := range swingSlots(out) {
		if of := s.Of[p]; of.Known {
			*at, any = &gen.Interval{Low: of.Low, High: of.High}, true
		}
	}
	if !any {
		return nil
	}
	return out
}

func swingsRecorded(in *gen.RecordedSwings) (s stocking.Swings) {
	if in == nil {
		return s
	}
	s.Days = int(in.Days)
	for p, at := range swingSlots(in) {
		if *at != nil {
			s.Of[p] = stocking.Swing{Low: (*at).Low, High: (*at).High, Known: true}
		}
	}
	return s
}

// asked is the list of a record as a question to a book, which need not be that of then.
func asked(book *conflict.Book, in *gen.RecordedInput) (*lists.Question, error) {
	request := &gen.CheckRequest{
		Tank: in.Tank, Residents: in.Residents, Incoming: &in.Incoming, WantedLevel: &in.WantedLevel, Unmatched: in.Unmatched, Region: in.Region,
	}
	stock, err := lists.ReadCheck(book.Snapshot, request)
	if err != nil {
		return nil, err
	}
	if stock.Tank != nil {
		stock.Tank.Swings = swingsRecorded(in.Swings)
	}
	return &lists.Question{Book: book, Stock: stock, Asked: request, US: in.Units == gen.Us}, nil
}
