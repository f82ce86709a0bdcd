package evidence

// PriorWeight is how many reports the model's score counts for. A handful of lucky ones
// must not talk a severe score down to a low one: from 75 that takes more than 24 reports
// of a full year, thus five organizations with as much as each can weigh. Our choice, no
// source.
const PriorWeight = 12.0

// surest keeps the prior away from certainty, which no report could ever move: 0.01 to
// 0.99.
const surest = 0.01

// Belief is what is known of a risk from 0 to 1: its mean and the ends of its
// equal-tailed interval at [Confidence].
type Belief struct{ Mean, Low, High float64 }

// Posterior is the belief after the reports, for a model's score as a risk from 0 to 1.
// Of the zero tally it is the prior.
func (t *Tally) Posterior(risk float64) Belief {
	risk = min(max(risk, surest), 1-surest)
	b := beta{PriorWeight*risk + t.Trouble, PriorWeight*(1-risk) + t.Good}
	low, high := b.interval()
	return Belief{b.mean(), low, high}
}

// Observed is the share of trouble in the reports alone, without the model, with its
// Wilson interval; ok is false where they weigh nothing.
func (t *Tally) Observed() (share Belief, ok bool) {
	n := t.Weight()
	if n <= 0 {
		return Belief{}, false
	}
	low, high := Wilson(t.Trouble, n, Z95)
	return Belief{t.Trouble / n, low, high}, true
}
