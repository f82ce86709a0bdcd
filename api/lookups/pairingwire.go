package lookups

import (
	"math"
	"strings"

	"commensal/api/gen"
	"commensal/api/wire"
	"commensal/internal/conflict"
	"commensal/internal/species"
)

// pairingWire judges a pairing and puts it into the words of the wire.
func pairingWire(book *conflict.Book, key *PairingRequest) gen.Pairing {
	p := key.explain(book)
	words := conflict.English(key.US)
	score := wire.Tenths(p.Score.Value)
	out := gen.Pairing{
		Species:           []gen.SpeciesRef{wire.SpeciesRef(p.First.Species), wire.SpeciesRef(p.Second.Species)},
		Conditions:        conditionsWire(&p, key),
		Score:             score,
		Band:              []float64{wire.Tenths(p.Score.Band[0]), wire.TenthsUp(p.Score.Band[1])},
		Level:             gen.Level(p.Score.Level.String()),
		Summary:           words.Summary(&p),
		MainReason:        gen.MainReason(p.Score.Reason.String()),
		Harm:              gen.Harm{FirstToSecond: wire.Decimals(p.Score.Harm[0], 3), SecondToFirst: wire.Decimals(p.Score.Harm[1], 3)},
		Factors:           factorsWire(&p, words),
		Remedies:          remediesWire(&p, key, book.Snapshot, words),
		Cautions:          wire.Cautions(p.Cautions),
		MissingTraits:     wire.MissingTraits(p.Missing),
		Reports:           reportsWire(book, key),
		ModelVersion:      book.Model.Version(),
		CatalogueRevision: book.Snapshot.Revision(),
	}
	if p.SharedOK {
		out.SharedWater = wire.SharedWater(p.Shared)
	} else {
		name := wire.WaterParameters[p.RuledOut].Name
		out.RuledOutBy = &name
	}
	return out
}

func factorsWire(p *conflict.Pairing, words conflict.Words) []gen.FactorResult {
	shares := wire.RoundShares(p.Score.Shares, p.Score.Value)
	out := make([]gen.FactorResult, len(p.Factors))
	n := 0
	for i := range p.Factors {
		n += len(p.Factors[i].Statement.Evidence)
	}
	room := make([]gen.Evidence, n) // for all factors
	for i := range p.Factors {
		f := &p.Factors[i]
		given := len(f.Statement.Evidence)
		evidence := room[:given:given]
		room = room[given:]
		for k, e := range f.Statement.Evidence {
			evidence[k] = gen.Evidence{Name: e.Name, Value: wire.Decimals(e.Value, 3), Unit: e.Unit}
		}
		out[i] = gen.FactorResult{Factor: gen.Factor(f.Factor.String()), Share: shares[i],
			Summary: words.Sentence(f.Statement), Evidence: evidence}
	}
	return out
}

// remediesWire lists the remedies, each with the request that judges it again: this
// request with what the remedy changes.
func remediesWire(p *conflict.Pairing, key *PairingRequest, snap *species.Snapshot, words conflict.Words) []gen.Remedy {
	out := make([]gen.Remedy, len(p.Remedies))
	for i := range p.Remedies {
		r := &p.Remedies[i]
		code := strings.TrimPrefix(string(r.Statement.Code), "remedy.")
		out[i] = gen.Remedy{Code: gen.RemedyCode(code), Summary: words.Sentence(r.Statement),
			Level: gen.Level(r.Level.String()), Score: wire.Tenths(r.Score)}
		if r.Statement.Code != conflict.RemedyApart && r.Statement.Code != conflict.RemedyWatch {
			applied := key.with(r)
			out[i].Check = wire.Optional(applied.Address(snap))
		}
	}
	return out
}

// with is the request with a remedy applied.
func (k PairingRequest) with(r *conflict.Remedy) PairingRequest {
	if r.Tank != nil {
		k.Tank.LengthCM, k.Tank.WidthCM, k.Tank.HeightCM = r.Tank.LengthCM, r.Tank.WidthCM, r.Tank.HeightCM
	}
	if r.Cover > 0 {
		k.Tank.Cover, k.Tank.CoverKnown = r.Cover, true
	}
	if r.Water != nil {
		k.Tank.Reading[r.Water.Parameter] = conflict.Reading{Value: math.Round(r.Water.To*100) / 100, Known: true}
	}
	for i, n := range r.Counts {
		if n > 0 {
			k.Fish[i].Count = n
			if k.Index[0] == k.Index[1] {
				k.Fish[1-i].Count = n
			}
		}
	}
	return k
}
