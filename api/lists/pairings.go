package lists

import (
	"commensal/api/gen"
	"commensal/api/lookups"
	"commensal/api/wire"
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
)

func (w *listWire) pairings(list []stocking.ListPairing) []gen.ListPairing {
	out := make([]gen.ListPairing, len(list))
	for i := range list {
		p := &list[i]
		out[i] = gen.ListPairing{
			Species: []gen.SpeciesRef{w.refs[p.First], w.refs[p.Second]}, Lines: []int{p.First, p.Second},
			Score: wire.Tenths(p.Score.Value), Band: wire.Band(&p.Score), Level: gen.Level(p.Score.Level.String()),
			MainReason: gen.MainReason(p.Score.Reason.String()),
			Summary:    w.words.Pairing().Short(p.Summary, conflict.SummaryLimit),
			Pairing:    w.address(p), SpeciesLevel: speciesLevelWire(p.SpeciesLevel),
		}
	}
	return out
}

func speciesLevelWire(s *conflict.Score) *gen.SpeciesLevel {
	if s == nil {
		return nil
	}
	return &gen.SpeciesLevel{Score: wire.Tenths(s.Value), Band: wire.Band(s), Level: gen.Level(s.Level.String())}
}

// address is the path and query that explain the two lines by themselves.
func (w *listWire) address(p *stocking.ListPairing) string {
	a, b := &w.lines[p.First], &w.lines[p.Second]
	key := lookups.PairingRequest{Index: [2]int{a.Index, b.Index}, US: w.us}
	if w.tank != nil {
		key.Tank = w.tank.Shaped().Tank
		key.Tank.Reading = [species.NumParameters]conflict.Reading{} // a list judges pairings in the best common water, and readings apart
		if key.Tank.HeightCM == 0 {                                  // which no score minds, but a pairing takes three sides
			key.Tank.HeightCM = key.Tank.WidthCM
		}
	}
	for i, l := range [...]*stocking.Line{a, b} {
		key.Fish[i] = conflict.Individual{Count: min(l.Count, maxLineCount), Sex: l.Sex, LengthCM: l.LengthCM}
	}
	return key.Address(w.book.Snapshot)
}

// maxLineCount is the greatest count that a pairing takes; merged lines may hold more.
const maxLineCount = 1000

func (w *listWire) apart(list []stocking.WaterApart) []gen.WaterApart {
	out := make([]gen.WaterApart, len(list))
	for i := range list {
		a := &list[i]
		out[i] = gen.WaterApart{
			Parameter: wire.WaterParameters[a.Parameter].Name, Difference: wire.Decimals(a.Difference, 3),
			Low:  gen.WaterSide{Line: a.Low, Species: w.refs[a.Low].Id, Tolerated: wire.Interval(a.LowRange)},
			High: gen.WaterSide{Line: a.High, Species: w.refs[a.High].Id, Tolerated: wire.Interval(a.HighRange)},
		}
	}
	return out
}
