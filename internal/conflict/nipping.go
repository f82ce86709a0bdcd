package conflict

import "commensal/internal/species"

// Fin nipping: picking at what is long-finned, slow or within reach. Part of the factor
// temperament. Snails and shrimps have no fins; they are picked at.

// TemperNips and the next are the statements about nipping.
const (
	TemperNips    Code = "temperament.nips"
	TemperMayNip  Code = "temperament.may_nip"
	TemperPicksAt Code = "temperament.picks_at"
)

// The one-sentence summaries of nipping.
const (
	SummaryNipping Code = "summary.fin_nipping"
	SummaryMayNip  Code = "summary.may_nip"
	SummaryPicksAt Code = "summary.picks_at"
)

// The words of nipping.
const (
	WordLongFins WordCode = "long_fins"
	WordSlow     WordCode = "slow"
	WordAnyFins  WordCode = "any_fins"
)

// nippingWeights are the fitted numbers of nipping.
var nippingWeights = []WeightSpec{
	{"nipping", "hazard of a constant nipper on veiled or helpless fish", 2.2, 0.5, 6, func(w *Weights) *float64 { return &w.Nipping }},
	{"nip_power", "exponent on the grade of the habit; higher spares the occasional nipper's company", 1.2, 0.5, 2.5, func(w *Weights) *float64 { return &w.NipPower }},
	{"nip_any", "how far even a quick fish with short fins is nipped, against a veiled one", 0.09, 0.005, 0.6, func(w *Weights) *float64 { return &w.NipAny }},
	{"nip_slow", "weight of slowness, the rest being that of long fins", 0.43, 0.05, 0.95, func(w *Weights) *float64 { return &w.NipSlow }},
	{"nip_spineless", "share of it that an invertebrate feels, which has no fins but feelers and eyes", 0.25, 0.02, 1.5, func(w *Weights) *float64 { return &w.NipSpineless }},
}

// nippable is how far a fish is worth nipping, 0 to about 1.
func (m *Model) nippable(sp *species.Species, fins, slowness float64) float64 {
	n := m.w.NipAny + (1-m.w.NipSlow)*fins + m.w.NipSlow*slowness
	if sp.BodyForm.Invertebrate() {
		n *= m.w.NipSpineless
	}
	return n
}

// nipHazard is what i's fin-nipping does to j; nippers short of company nip harder.
func (m *Model) nipHazard(i, j *fish) float64 {
	if i.actor.nipping == 0 {
		return 0
	}
	return m.nips(i) * j.victim.nippable * unspared(i, j)
}

// nips is the hazard of a nipper for one that is wholly worth it.
func (m *Model) nips(i *fish) float64 {
	return m.w.Nipping * (1 + loneGain*i.shortfall) * i.actor.nipping
}

// nips states who nips whom.
func (x *explainer) nips(d int) Statement {
	actor, other := x.side(d)
	fins, slow := other.read(species.LongFins), other.read(species.Slowness)
	word := WordAnyFins
	switch w := &x.m.w; {
	case fins*(1-w.NipSlow) >= max(slow*w.NipSlow, w.NipAny):
		word = WordLongFins
	case slow*w.NipSlow >= w.NipAny:
		word = WordSlow
	}
	code := pick(risk(x.t.nip[d]*x.t.zone) >= certainRisk/2, TemperNips, TemperMayNip)
	if other.spineless {
		code = TemperPicksAt
	}
	return Statement{Code: code, Actor: actor.Species, Other: other.Species,
		Evidence: []Evidence{
			{"fin_nipping", actor.read(species.FinNipping), "grade"},
			{"long_fins", fins, "grade"},
			{"slowness", slow, "grade"},
		}, Words: []WordCode{word}}
}

// nipping is the summary of a pairing whose main reason it is.
func (x *explainer) nipping(level Level) Statement {
	d := heavier(x.t.nip)
	if _, other := x.side(d); other.spineless {
		return x.directed(SummaryPicksAt, d)
	}
	return x.directed(pick(level > Moderate, SummaryNipping, SummaryMayNip), d)
}
