package calibration

import (
	"commensal/internal/conflict"
	"commensal/internal/species"
)

// Panel is a set of judgements.
type Panel []Judgement

// kind is a species with its fish: what a profile is made of.
type kind struct {
	species *species.Species
	fish    conflict.Individual
}

// Causes are the model's answers for the panel.
func (p Panel) Causes(w conflict.Weights) ([]conflict.Causes, error) {
	m, err := conflict.New(w)
	if err != nil {
		return nil, err
	}
	out := make([]conflict.Causes, len(p))
	p.each(m, func(i int, a, b *conflict.Profile, c *conflict.Conditions) { out[i] = m.CausesOf(a, b, c) })
	return out, nil
}

// each visits every pair with its profiles and conditions.
func (p Panel) each(m *conflict.Model, visit func(i int, a, b *conflict.Profile, c *conflict.Conditions)) {
	profiles := map[kind]*conflict.Profile{}
	profile := func(k kind) *conflict.Profile {
		if profiles[k] == nil {
			profiles[k] = m.TypicalProfile(k.species, k.fish)
		}
		return profiles[k]
	}
	for i := range p {
		j := &p[i]
		a, b := profile(kind{j.A, j.Fish[0]}), profile(kind{j.B, j.Fish[1]})
		c := conflict.ConditionsFor(a, b, j.Tank)
		visit(i, a, b, &c)
	}
}

// Scores are the model's scores for the panel.
func (p Panel) Scores(w conflict.Weights) ([]float64, error) {
	causes, err := p.Causes(w)
	if err != nil {
		return nil, err
	}
	out := make([]float64, len(p))
	for i := range causes {
		out[i] = causes[i].Value
	}
	return out, nil
}

// Confusion compares the panel's levels with those of scores.
func (p Panel) Confusion(scores []float64) Confusion {
	var c Confusion
	for i, j := range p {
		c.Add(j.Level, conflict.LevelOf(scores[i]))
	}
	return c
}

// Ordinary are the judgements of customary groups in reference conditions; Conditional are
// the others.
func (p Panel) Ordinary() Panel { return p.where(func(j *Judgement) bool { return !j.Conditional }) }

// Conditional are the judgements under stated conditions.
func (p Panel) Conditional() Panel { return p.where(func(j *Judgement) bool { return j.Conditional }) }

func (p Panel) where(keep func(*Judgement) bool) (out Panel) {
	for i := range p {
		if keep(&p[i]) {
			out = append(out, p[i])
		}
	}
	return out
}
