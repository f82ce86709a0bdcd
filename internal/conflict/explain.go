package conflict

import "commensal/internal/species"

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
	score := m.scoreOf(&t)
	score.Reason = t.reason(a, b, score.Level)
	score.Band = m.band(a, b, &c, score.Value)
	p := Pairing{First: a, Second: b, Conditions: c, Score: score}
	p.Shared, p.RuledOut, p.SharedOK = SharedWater(a.Species, b.Species)
	x := explainer{m: m, a: a, b: b, c: &p.Conditions, t: &t}
	for f, state := range [NumFactors]Statement{
		x.size(), x.temper(), x.water(), x.zone(), x.space(), x.feeding(), x.breeding(),
	} {
		p.Factors[f] = FactorResult{Factor(f), score.Shares[f], state}
	}
	p.Summary = x.summary(&score, &p.Factors)
	p.Remedies = m.remedies(a, b, &p.Conditions, score)
	p.Cautions = cautions(a.Species, b.Species, &t, &c)
	p.Missing = missing(a, b)
	return p
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
