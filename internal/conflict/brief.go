package conflict

// Brief judges a pairing as a list needs it: the score without its shares, and the
// statement of its summary. It equals the Score (but for the shares) and the Summary
// of [Model.ExplainIn] under the same conditions.
func (m *Model) Brief(a, b *Profile, c *Conditions) (Score, Statement) {
	t := m.evaluate(a, b, c, typical)
	s := t.sums()
	score := Score{Value: 100 * risk(s.total()), Harm: t.harm()}
	score.Level = LevelOf(score.Value)
	score.Reason = t.reason(a, b, score.Level)
	score.Band = m.band(a, b, c, score.Value)
	x := explainer{m: m, a: a, b: b, c: c, t: &t}
	var factors [NumFactors]FactorResult
	if score.Reason == Room {
		factors[Space].Statement = x.space()
	}
	return score, x.summary(&score, &factors)
}

// harm is the risk in each direction, first to second and second to first.
func (t *terms) harm() (harm [2]float64) {
	for d := range harm {
		harm[d] = risk(t.eaten(d) + t.young[d] + (t.clash(d)+t.guard[d])*t.zone*t.room +
			(t.nip[d]+t.race[d])*t.zone)
	}
	return harm
}
