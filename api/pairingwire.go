package api

import (
	"math"
	"strings"

	"commensal/api/gen"
	"commensal/internal/conflict"
	"commensal/internal/species"
)

// pairingWire judges a pairing and puts it into the words of the wire.
func pairingWire(book *conflict.Book, key pairingKey) gen.Pairing {
	p := key.explain(book)
	words := conflict.English(key.us)
	score := Tenths(p.Score.Value)
	out := gen.Pairing{
		Species:           []gen.SpeciesRef{refWire(p.First.Species), refWire(p.Second.Species)},
		Conditions:        conditionsWire(&p, key),
		Score:             score,
		Band:              []float64{Tenths(p.Score.Band[0]), tenthsUp(p.Score.Band[1])},
		Level:             gen.Level(p.Score.Level.String()),
		Summary:           words.Summary(&p),
		MainReason:        gen.MainReason(p.Score.Reason.String()),
		Harm:              gen.Harm{FirstToSecond: decimals(p.Score.Harm[0], 3), SecondToFirst: decimals(p.Score.Harm[1], 3)},
		Factors:           factorsWire(&p, words),
		Remedies:          remediesWire(&p, key, book.Snapshot, words),
		Cautions:          cautionsWire(p.Cautions),
		MissingTraits:     missingWire(p.Missing),
		Reports:           reportsWire(book, &key),
		ModelVersion:      book.Model.Version(),
		CatalogueRevision: book.Snapshot.Revision(),
	}
	if p.SharedOK {
		out.SharedWater = sharedWire(p.Shared)
	} else {
		name := waterParameters[p.RuledOut].name
		out.RuledOutBy = &name
	}
	return out
}

// refWire names a species.
func refWire(sp *species.Species) gen.SpeciesRef {
	return gen.SpeciesRef{Id: string(sp.ID), ScientificName: sp.ScientificName, VernacularName: sp.VernacularName("en")}
}

func factorsWire(p *conflict.Pairing, words conflict.Words) []gen.FactorResult {
	shares := roundShares(p.Score.Shares, p.Score.Value)
	out := make([]gen.FactorResult, len(p.Factors))
	for i, f := range p.Factors {
		evidence := make([]gen.Evidence, len(f.Statement.Evidence))
		for k, e := range f.Statement.Evidence {
			evidence[k] = gen.Evidence{Name: e.Name, Value: decimals(e.Value, 3), Unit: e.Unit}
		}
		out[i] = gen.FactorResult{Factor: gen.Factor(f.Factor.String()), Share: shares[i],
			Summary: words.Sentence(f.Statement), Evidence: evidence}
	}
	return out
}

func sharedWire(windows []conflict.Window) *gen.SharedWater {
	out := &gen.SharedWater{}
	for _, w := range windows {
		p := &gen.SharedParameter{Tolerated: intervalWire(w.Tolerated), Best: decimals(w.Best, 2)}
		if w.PreferredOK {
			preferred := intervalWire(w.Preferred)
			p.Preferred = &preferred
		}
		switch w.Parameter {
		case species.Temperature:
			out.TemperatureC = p
		case species.PH:
			out.Ph = p
		case species.Hardness:
			out.GhDh = p
		case species.Salinity:
			out.SalinityPpt = p
		}
	}
	return out
}

func intervalWire(r species.Range) gen.Interval { return gen.Interval{Low: r.Low, High: r.High} }

func cautionsWire(notes []conflict.CautionNote) []gen.Caution {
	out := make([]gen.Caution, len(notes))
	for i, n := range notes {
		out[i] = gen.Caution{Code: string(n.Code), Text: n.Text}
		if n.Species != nil {
			out[i].Species = optional(string(n.Species.ID))
		}
	}
	return out
}

func missingWire(missing []conflict.MissingTrait) []gen.MissingTrait {
	out := make([]gen.MissingTrait, len(missing))
	for i, m := range missing {
		out[i] = gen.MissingTrait{Species: string(m.Species), Trait: m.Trait}
	}
	return out
}

// remediesWire lists the remedies, each with the request that judges it again: this
// request with what the remedy changes.
func remediesWire(p *conflict.Pairing, key pairingKey, snap *species.Snapshot, words conflict.Words) []gen.Remedy {
	out := make([]gen.Remedy, len(p.Remedies))
	for i := range p.Remedies {
		r := &p.Remedies[i]
		code := strings.TrimPrefix(string(r.Statement.Code), "remedy.")
		out[i] = gen.Remedy{Code: gen.RemedyCode(code), Summary: words.Sentence(r.Statement),
			Level: gen.Level(r.Level.String()), Score: Tenths(r.Score)}
		if r.Statement.Code != conflict.RemedyApart && r.Statement.Code != conflict.RemedyWatch {
			applied := key.with(r)
			out[i].Check = optional(applied.address(snap))
		}
	}
	return out
}

// with is the request with a remedy applied.
func (k pairingKey) with(r *conflict.Remedy) pairingKey {
	if r.Tank != nil {
		k.tank.LengthCM, k.tank.WidthCM, k.tank.HeightCM = r.Tank.LengthCM, r.Tank.WidthCM, r.Tank.HeightCM
	}
	if r.Cover > 0 {
		k.tank.Cover, k.tank.CoverKnown = r.Cover, true
	}
	if r.Water != nil {
		k.tank.Reading[r.Water.Parameter] = conflict.Reading{Value: math.Round(r.Water.To*100) / 100, Known: true}
	}
	for i, n := range r.Counts {
		if n > 0 {
			k.fish[i].Count = n
			if k.index[0] == k.index[1] {
				k.fish[1-i].Count = n
			}
		}
	}
	return k
}
