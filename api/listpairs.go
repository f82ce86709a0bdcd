package api

import (
	"commensal/api/gen"
	"commensal/internal/conflict"
	"commensal/internal/stocking"
)

func (w *listWire) pairings(list []stocking.ListPairing) []gen.ListPairing {
	out := make([]gen.ListPairing, len(list))
	for i := range list {
		p := &list[i]
		out[i] = gen.ListPairing{
			Species: []gen.SpeciesRef{w.refs[p.First], w.refs[p.Second]}, Lines: []int{p.First, p.Second},
			Score: Tenths(p.Score.Value), Band: bandWire(&p.Score), Level: gen.Level(p.Score.Level.String()),
			MainReason: gen.MainReason(p.Score.Reason.String()),
			Summary:    w.words.Pairing().Short(p.Summary, conflict.SummaryLimit),
			Pairing:    w.address(p), SpeciesLevel: speciesLevelWire(p.SpeciesLevel),
		}
	}
	return out
}

func bandWire(s *conflict.Score) []float64 { return []float64{Tenths(s.Band[0]), tenthsUp(s.Band[1])} }

func speciesLevelWire(s *conflict.Score) *gen.SpeciesLevel {
	if s == nil {
		return nil
	}
	return &gen.SpeciesLevel{Score: Tenths(s.Value), Band: bandWire(s), Level: gen.Level(s.Level.String())}
}

// address is the path and query that explain the two lines by themselves.
func (w *listWire) address(p *stocking.ListPairing) string {
	a, b := &w.lines[p.First], &w.lines[p.Second]
	key := pairingKey{index: [2]int{a.Index, b.Index}, us: w.us}
	if w.tank != nil {
		key.tank = w.tank.Tank
		if key.tank.HeightCM == 0 { // a pairing takes all three sides or none
			key.tank.LengthCM, key.tank.WidthCM = 0, 0
		}
	}
	for i, l := range [...]*stocking.Line{a, b} {
		key.fish[i] = conflict.Individual{Count: min(l.Count, maxLineCount), Sex: l.Sex, LengthCM: l.LengthCM}
	}
	return key.address(w.book.Snapshot)
}

// maxLineCount is the greatest count that a pairing takes; merged lines may hold more.
const maxLineCount = 1000

func (w *listWire) apart(list []stocking.WaterApart) []gen.WaterApart {
	out := make([]gen.WaterApart, len(list))
	for i := range list {
		a := &list[i]
		out[i] = gen.WaterApart{
			Parameter: waterParameters[a.Parameter].name, Difference: decimals(a.Difference, 3),
			Low:  gen.WaterSide{Line: a.Low, Species: w.refs[a.Low].Id, Tolerated: intervalWire(a.LowRange)},
			High: gen.WaterSide{Line: a.High, Species: w.refs[a.High].Id, Tolerated: intervalWire(a.HighRange)},
		}
	}
	return out
}
