package pages

import (
	"slices"

	"commensal/internal/pages/answers"
	"commensal/internal/pages/pictures"
	"commensal/internal/units"
)

// pairCard is the card of a pairing.
func (q *request) pairCard(p *answers.Pairing) pictures.Card {
	c := pictures.Card{
		Title:    q.words.Say("picture.card", "first", p.Kinds[0].Name, "second", p.Kinds[1].Name, "verdict", q.words.Say("verdict."+p.Level)),
		Verdict:  q.words.Say("verdict." + p.Level),
		Sentence: p.Sentence,
		Kinds:    q.pairKinds(p) + ", " + q.pairTank(p) + ".",
		Level:    q.pairLevel(p),
		Picture:  q.reasonDrawing(p),
		Guidance: q.guidance(p.Cautions),
		More:     q.words.Say("pair.more") + ": " + q.origin + p.Asked.Bare(),
	}
	if len(p.Remedies) > 0 {
		c.Change = p.Remedies[0].Sentence
	}
	return c
}

func (q *request) pairLevel(p *answers.Pairing) string {
	return q.words.Say("pair.level", "level", q.words.Say("level."+p.Level), "means", q.words.Say("means."+p.Level),
		"score", rounded(p.Score), "low", rounded(p.Low), "high", rounded(p.High))
}

// pairKinds names the two with their numbers.
func (q *request) pairKinds(p *answers.Pairing) string {
	first := times(p.Counts[0], p.Kinds[0].Name)
	if p.Kinds[0] == p.Kinds[1] {
		return q.words.Say("pair.group", "first", first)
	}
	return q.words.Say("pair.with", "first", first, "second", times(p.Counts[1], p.Kinds[1].Name))
}

// pairTank says in which tank.
func (q *request) pairTank(p *answers.Pairing) string {
	key := "pair.tank.yours"
	if p.Tank.Reference {
		key = "pair.tank.least"
	}
	return q.words.Say(key, "tank", sidesOf(&p.Tank))
}

func sidesOf(t *answers.Tank) string {
	size := units.TankSize{Length: t.LengthCM, Width: t.WidthCM, Height: t.HeightCM}
	return units.FormatTank(size) + ", " + units.FormatVolume(size.Volume())
}

// pairDrawings are the pictures of a pairing by name.
func (q *request) pairDrawings(p *answers.Pairing) map[string]drawing {
	return map[string]drawing{
		"reason": q.reasonDrawing(p),
		"sizes":  func(w float64) *pictures.Scene { return pictures.Sizes(q.words, p, w) },
		"water":  func(w float64) *pictures.Scene { return pictures.Water(q.words, p.Scales, w) },
		"space":  func(w float64) *pictures.Scene { return pictures.Space(q.words, &p.Tank, w) },
		"harm":   func(w float64) *pictures.Scene { return pictures.Harm(q.words, p, w) },
		"why":    func(w float64) *pictures.Scene { return pictures.Why(q.words, p, w) },
		"growth": func(w float64) *pictures.Scene { return pictures.Growth(q.words, q.PairGrowth(p.Asked), w) },
	}
}

// reasonDrawing is the picture that follows the main reason.
func (q *request) reasonDrawing(p *answers.Pairing) drawing {
	switch p.Reason {
	case "predation", "none":
		return func(w float64) *pictures.Scene { return pictures.Sizes(q.words, p, w) }
	case "water":
		return func(w float64) *pictures.Scene { return pictures.Water(q.words, mattering(p.Scales), w) }
	case "space":
		return func(w float64) *pictures.Scene { return pictures.Space(q.words, &p.Tank, w) }
	}
	return func(w float64) *pictures.Scene { return pictures.Harm(q.words, p, w) }
}

// mattering are the parameters that stand between the kinds: where nothing suits all,
// where what they prefer lies apart, or where the tank's reading is outside what one
// prefers. At most two, those that rule them out first.
func mattering(scales []answers.Scale) []answers.Scale {
	var apart, tense []answers.Scale
	for _, s := range scales {
		switch {
		case s.Shared == nil && len(s.Bars) > 1:
			apart = append(apart, s)
		case s.Preferred == nil && len(s.Bars) > 1 || outside(&s):
			tense = append(tense, s)
		}
	}
	out := slices.Concat(apart, tense)
	if len(out) == 0 {
		out = scales
	}
	return out[:min(len(out), 2)]
}

func outside(s *answers.Scale) bool {
	for _, b := range s.Bars {
		if s.Reading != nil && !b.Preferred.Contains(*s.Reading) {
			return true
		}
	}
	return false
}
