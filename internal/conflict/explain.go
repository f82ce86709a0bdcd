package conflict

import "commensal/internal/species"

// Code identifies what a statement says; a language is a table from codes to
// sentences. The codes of a factor stand in its file.
type Code string

// WordCode is a word or short phrase that a sentence needs, translated with it.
type WordCode string

// The summaries of pairings that get on.
const (
	SummaryFine      Code = "summary.fine"
	SummaryUsual     Code = "summary.usual"
	SummaryFineOwn   Code = "summary.fine_own_kind"
	SummaryFineForms Code = "summary.fine_forms"
)

// Pairing is one pairing, fully explained: the score, why, and what would change it.
type Pairing struct {
	First, Second *Profile
	Conditions    Conditions
	Score         Score
	Summary       Statement
	Factors       [NumFactors]FactorResult
	Shared        []Window
	RuledOut      species.Parameter // meaningful when SharedOK is false
	SharedOK      bool
	Remedies      []Remedy
	Cautions      []CautionNote
	Missing       []MissingTrait
}

// FactorResult is one factor's part of the score and the sentence that explains it.
type FactorResult struct {
	Factor    Factor
	Share     float64
	Statement Statement
}

// Evidence is one value behind a statement.
type Evidence struct {
	Name  string
	Value float64
	Unit  string // "cm", "cm2", "C", "pH", "dH", "ppt", "grade", "share", "fish", "score"
}

// Statement is a finding before it becomes a sentence: a code, who it concerns, and
// the values. [Words] turns it into a sentence.
type Statement struct {
	Code     Code
	Actor    *species.Species // who does it, or the first of two
	Other    *species.Species // to whom, or the second
	Evidence []Evidence
	Words    []WordCode // ready words the sentence needs, in order
}

// MissingTrait names a trait the catalogue lacks; the band of the answer is wider
// for it.
type MissingTrait struct {
	Species species.ID
	Trait   string
}

// Explain judges a pairing and explains it. Tank may be nil: the pairing is then
// judged in reference conditions, which the answer names.
func (m *Model) Explain(a, b *Profile, tank *Tank) Pairing {
	c := ConditionsFor(a, b, tank)
	return m.ExplainIn(a, b, c)
}

// ExplainIn is [Model.Explain] under complete conditions.
func (m *Model) ExplainIn(a, b *Profile, c Conditions) Pairing {
	t := m.evaluate(a, b, &c, typical)
	score := m.scoreOf(&t, a, b)
	score.Extremes = m.extremes(a, b, &c, score.Value)
	p := Pairing{First: a, Second: b, Conditions: c, Score: score}
	p.Shared, p.RuledOut, p.SharedOK = sharedWater(a, b)
	x := explainer{m: m, a: a, b: b, c: &p.Conditions, t: &t}
	for f, state := range [NumFactors]Statement{
		x.size(), x.temper(), x.water(), x.zone(), x.space(), x.feeding(), x.breeding(),
	} {
		p.Factors[f] = FactorResult{Factor(f), score.Shares[f], state}
	}
	p.Summary = x.summary(&score)
	p.Remedies = m.remedies(a, b, &p.Conditions, score)
	p.Cautions = cautions(a.Species, b.Species, &t, &c)
	p.Missing = missing(a, b)
	return p
}

// Brief judges a pairing as a list needs it: the score, and the statement of its summary.
// It equals the Score and the Summary of [Model.ExplainIn] under the same conditions, but
// for the extremes, which it leaves out.
func (m *Model) Brief(a, b *Profile, c *Conditions) (Score, Statement) {
	t := m.evaluate(a, b, c, typical)
	return m.brief(&t, a, b, c)
}

func (m *Model) brief(t *terms, a, b *Profile, c *Conditions) (Score, Statement) {
	score := m.scoreOf(t, a, b)
	x := explainer{m: m, a: a, b: b, c: c, t: t}
	return score, x.summary(&score)
}

// Outline is [Model.Brief] without the shares: what is told where none are shown.
func (m *Model) Outline(a, b *Profile, c *Conditions) (Score, Statement) {
	t := m.evaluate(a, b, c, typical)
	s := t.sums()
	score := m.outline(&t, &s, a, b)
	x := explainer{m: m, a: a, b: b, c: c, t: &t}
	return score, x.summary(&score)
}

func missing(a, b *Profile) []MissingTrait {
	var out []MissingTrait
	for _, t := range a.missing {
		out = append(out, MissingTrait{a.Species.ID, t})
	}
	if b.Species.ID != a.Species.ID {
		for _, t := range b.missing {
			out = append(out, MissingTrait{b.Species.ID, t})
		}
	}
	return out
}

// explainer holds what the statements of one pairing are made from.
type explainer struct {
	m    *Model
	a, b *Profile
	c    *Conditions
	t    *terms
}

// side returns actor and victim of direction d.
func (x *explainer) side(d int) (actor, other *Profile) {
	if d == 0 {
		return x.a, x.b
	}
	return x.b, x.a
}

// heavier is the direction with the larger hazard.
func heavier(h [2]float64) int {
	if h[1] > h[0] {
		return 1
	}
	return 0
}

func (x *explainer) sameKind() bool { return OneKind(x.a.Species, x.b.Species) }

// forms reports whether the two are different forms of one species.
func (x *explainer) forms() bool { return x.a.Species.ID != x.b.Species.ID && x.sameKind() }

func (x *explainer) directed(code Code, d int) Statement {
	actor, other := x.side(d)
	return Statement{Code: code, Actor: actor.Species, Other: other.Species}
}

// summary states the pairing in one sentence, from its main reason.
func (x *explainer) summary(s *Score) Statement {
	switch s.Reason {
	case Predation:
		return x.predation(s.Level)
	case Aggression:
		if x.t.guard[0]+x.t.guard[1] > x.t.clash(0)+x.t.clash(1) {
			return x.directed(SummaryGuards, heavier(x.t.guard))
		}
		return x.aggression(s.Level)
	case FinNipping:
		return x.nipping(s.Level)
	case Water:
		return x.waterSummary()
	case FeedingClash:
		return x.starvation(s.Level)
	case OwnKind:
		if x.forms() {
			return x.aggression(s.Level)
		}
		return Statement{Code: pick(s.Level > Moderate, SummaryOwnKind, SummaryMayOwnKind), Actor: x.a.Species, Other: x.b.Species}
	case Hybridisation:
		return Statement{Code: SummaryHybridisation, Actor: x.a.Species, Other: x.b.Species}
	case Room:
		return x.roomSummary()
	}
	return x.fine()
}

// fine is the summary of a low score. "Routinely kept together" is said where it rests on
// full knowledge and ordinary company; of the rest, that nothing was found.
func (x *explainer) fine() Statement {
	s := Statement{Code: SummaryFine, Actor: x.a.Species, Other: x.b.Species}
	usual := usualCompany(x.a) && usualCompany(x.b)
	switch {
	case x.forms():
		s.Code = SummaryFineForms
	case x.sameKind():
		s.Code = SummaryFineOwn
		s.Evidence = []Evidence{{"group_min", x.a.read(species.GroupMin), "fish"}}
	case usual:
		s.Code = SummaryUsual
	}
	return s
}

// usualCompany reports whether a kind is common enough, and known well enough, for its
// company to be a matter of routine.
func usualCompany(p *Profile) bool {
	common := p.Species.Available == species.EveryShop || p.Species.Available == species.ManyShops
	return common && len(p.missing) == 0
}
