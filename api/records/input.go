package records

import (
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
	out := gen.RecordedInput{Tank: understoodTank(q.Stock.Tank), WantedLevel: gen.Level(q.Stock.Wanted.String()), Units: gen.RecordedInputUnitsSi}
	if q.US {
		out.Units = gen.RecordedInputUnitsUs
	}
	lines := wire.Mapped(q.Stock.Lines, func(l stocking.Line) gen.LineInput { return understoodLine(q.Book.Snapshot, &l) })
	out.Residents, out.Incoming = lines[:q.Residents], lines[q.Residents:]
	if q.Stock.Tank != nil {
		out.Swings = recordedSwings(&q.Stock.Tank.Swings)
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
	stock, err := lists.ReadCheck(book.Snapshot, &gen.CheckRequest{
		Tank: in.Tank, Residents: in.Residents, Incoming: &in.Incoming, WantedLevel: &in.WantedLevel,
	})
	if err != nil {
		return nil, err
	}
	if stock.Tank != nil {
		stock.Tank.Swings = swingsRecorded(in.Swings)
	}
	return &lists.Question{Book: book, Stock: stock, Residents: len(in.Residents), US: in.Units == gen.RecordedInputUnitsUs, Pairings: lists.MaxPairings}, nil
}
