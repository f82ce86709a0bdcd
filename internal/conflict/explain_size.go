package conflict

import "math"

// Below these risks a harm is called possible, or nothing at all.
const (
	certainRisk  = 0.5
	possibleRisk = 0.1
)

// size states who can swallow whom.
func (x *explainer) size() Statement {
	eaten := [2]float64{x.t.eaten(0), x.t.eaten(1)}
	d := heavier([2]float64{eaten[0] + x.t.young[0], eaten[1] + x.t.young[1]})
	hunter, prey := x.side(d)
	act, suf := &hunter.actor[typical], &prey.victim[typical]
	limit, gape := math.Exp(act.lnPrey), math.Exp(act.lnGape)
	length, depth := math.Exp(suf.lnLength), math.Exp(suf.lnDepth)
	s := Statement{Actor: hunter.Species, Other: prey.Species, Evidence: []Evidence{
		{"predator_length", hunter.largestLength(), "cm"},
		{"prey_length", length, "cm"},
		{"prey_limit", limit, "cm"},
		{"prey_depth", depth, "cm"},
		{"gape", gape, "cm"},
	}}
	switch r := risk(eaten[d]); {
	case x.sameKind():
		s.Code = SizeOwnKind
	case hunter.shock > 0:
		s.Code = SizeShocks
	case r >= possibleRisk && x.t.claw[d] > eaten[d]/2:
		s.Code = SizeClaws
	case suf.spineless && (r >= possibleRisk || x.t.young[d] > youngHazard/4):
		s.Code = x.spineless(d, r)
	case r >= possibleRisk && x.t.bite[d] > x.t.swallow[d]:
		s.Code = SizeBites
	case r >= certainRisk:
		s.Code = SizeSwallows
	case r >= possibleRisk:
		s.Code = SizeMaySwallow
	case length < limit && depth > gape:
		s.Code = SizeTooDeep
	case length < limit:
		s.Code = SizeSeldomTakes
	default:
		s.Code = SizeSafe
		if hunter.victim[typical].lnEdge < prey.victim[typical].lnEdge {
			s.Actor, s.Other = prey.Species, hunter.Species
			s.Evidence[0].Value, s.Evidence[1].Value = prey.largestLength(), math.Exp(hunter.victim[typical].lnLength)
		}
	}
	return s
}

// spineless states what happens to an invertebrate at a risk of r.
func (x *explainer) spineless(d int, r float64) Code {
	_, prey := x.side(d)
	switch {
	case r < possibleRisk:
		return SizeTakesYoung
	case prey.Species.BodyForm.Shelled() && x.t.crush[d] > x.t.swallow[d]:
		return SizeCrushes
	case prey.Species.BodyForm.Shelled():
		return SizeMayCrush
	case r >= certainRisk:
		return SizePicks
	}
	return SizeMayPick
}

// largestLength is the typical length in cm of the larger sex in the line.
func (p *Profile) largestLength() float64 {
	return reader{sp: p.Species, ind: p.Individual}.largest(lengthTrait, typical)
}

// Length is the typical length of the line in cm, sexes not told apart.
func (p *Profile) Length() float64 {
	return reader{sp: p.Species, ind: p.Individual}.typical(lengthTrait)
}
