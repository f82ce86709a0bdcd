package lists

import (
	"commensal/api/gen"
	"commensal/api/wire"
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

// briefAddition is why an addition fits, or what limits it.
func (w *listWire) briefAddition(a *additions.Addition) string {
	if a.Limit != nil {
		return w.words.Short(a.Limit.Statement)
	}
	return w.words.Short(*a.Why)
}
