package lists

import (
	"commensal/api/gen"
	"commensal/api/wire"
	"commensal/internal/conflict"
	"commensal/internal/stocking"
	"commensal/internal/stocking/additions"
)

// How many species the short form of additions tells of.
const (
	maxBriefFitting = 5
	maxBriefBelow   = 3
)

// briefAdditions are the additions in brief: what comes near is told where nothing fits.
func (w *listWire) briefAdditions(a *additions.Additions) gen.BriefAdditions {
	out := gen.BriefAdditions{
		Decision: gen.Decision(a.Decision.String()), Summary: w.words.Sentence(a.Summary()), Fitting: w.briefAdditionList(a.Fitting), Below: []gen.BriefAddition{},
		ModelVersion: w.book.Model.Version(), CatalogueRevision: w.book.Snapshot.Revision(),
	}
	if len(a.Fitting) == 0 {
		out.Below = w.briefAdditionList(a.Below)
	}
	return out
}

func (w *listWire) briefAdditionList(list []additions.Addition) []gen.BriefAddition {
	out := make([]gen.BriefAddition, len(list))
	for i := range list {
		a := &list[i]
		ref := wire.SpeciesRef(a.Species)
		out[i] = gen.BriefAddition{Species: ref.Id, VernacularName: ref.VernacularName, Count: a.Count, Decision: gen.Decision(a.Decision.String()),
			PriceClass: wire.Optional(w.onOffer[a.Index].PriceClass), Article: wire.Optional(w.onOffer[a.Index].Article), Summary: w.briefAddition(a)}
	}
	return out
}

// briefAddition is what limits an addition, else its worst pairing.
func (w *listWire) briefAddition(a *additions.Addition) string {
	switch {
	case a.Limit != nil:
		return w.words.Short(a.Limit.Statement)
	case a.Pairing != nil:
		return w.words.Pairing().Short(a.Pairing.Summary, conflict.SummaryLimit)
	}
	return w.words.Short(conflict.Statement{Code: stocking.SummaryFineSingle, Actor: a.Species})
}
