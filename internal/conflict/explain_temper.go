package conflict

import (
	"math"

	"commensal/internal/species"
)

const lengthTrait = species.Length

// temper states the strongest of harassment, rivalry and fin-nipping.
func (x *explainer) temper() Statement {
	if x.sameKind() {
		return x.amongItself()
	}
	press, nip, mistake := heavier(x.t.press), heavier(x.t.nip), heavier(x.t.mistake)
	rival := x.t.rival[0] + x.t.rival[1]
	strongest := max(x.t.press[press], x.t.nip[nip], x.t.mistake[mistake], rival)
	switch {
	case risk(strongest) < possibleRisk/2:
		return x.peaceful()
	case strongest == x.t.press[press]:
		return x.presses(press)
	case strongest == x.t.mistake[mistake]:
		return x.mistakes(mistake)
	case strongest == rival:
		return Statement{Code: TemperRivals, Actor: x.a.Species, Other: x.b.Species, Evidence: []Evidence{
			{"first_aggression_alike", math.Sqrt(x.a.actor[typical].alike), "grade"},
			{"second_aggression_alike", math.Sqrt(x.b.actor[typical].alike), "grade"},
			{"likeness", likeness(x.a.Species, x.b.Species), "share"},
		}}
	}
	return x.nips(nip)
}

func (x *explainer) peaceful() Statement {
	return Statement{Code: TemperPeaceful, Actor: x.a.Species, Other: x.b.Species, Evidence: []Evidence{
		{"first_aggression", x.a.read(species.AggressionOthers), "grade"},
		{"second_aggression", x.b.read(species.AggressionOthers), "grade"},
	}}
}

// amongItself states the stronger of fighting within a kind and nipping between its forms.
func (x *explainer) amongItself() Statement {
	nips := x.t.nip[0] + x.t.nip[1]
	if nips > x.t.rival[0]+x.t.rival[1] && risk(nips) >= possibleRisk/2 {
		return x.nips(heavier(x.t.nip))
	}
	return x.ownKind()
}

func (x *explainer) ownKind() Statement {
	s := Statement{Code: TemperOwnKind, Actor: x.a.Species, Other: x.b.Species, Evidence: []Evidence{
		{"aggression_own", math.Sqrt(x.a.actor[typical].own), "grade"},
		{"group_min", x.a.read(species.GroupMin), "fish"},
	}}
	if risk(x.t.rival[0]+x.t.rival[1]) < possibleRisk {
		s.Code = TemperOwnKindCalm
		return s
	}
	s.Words = []WordCode{aggressionWord(math.Sqrt(x.a.actor[typical].own))}
	return s
}

func (x *explainer) presses(d int) Statement {
	actor, other := x.side(d)
	ratio := math.Exp(actor.actor[typical].lnLength - other.victim[typical].lnEdge)
	timid := other.read(species.Timidity)
	code := TemperPresses
	if risk(x.t.press[d]*x.t.zone*x.t.room) < possibleRisk {
		code = TemperMild
	} else if nerveWord(timid) == WordBold {
		code = TemperStands
	}
	return Statement{Code: code, Actor: actor.Species, Other: other.Species,
		Evidence: []Evidence{
			{"aggression", actor.read(species.AggressionOthers), "grade"},
			{"length_ratio", ratio, "share"},
			{"timidity", timid, "grade"},
			{"territory", actor.read(species.Territory), "cm"},
		},
		Words: []WordCode{aggressionWord(actor.read(species.AggressionOthers)), sizeWord(ratio), nerveWord(timid)}}
}

func (x *explainer) mistakes(d int) Statement {
	actor, other := x.side(d)
	return Statement{Code: TemperMistakes, Actor: actor.Species, Other: other.Species, Evidence: []Evidence{
		{"aggression_own", actor.read(species.AggressionOwn), "grade"},
		{"long_fins", other.read(species.LongFins), "grade"},
	}}
}

func (x *explainer) nips(d int) Statement {
	actor, other := x.side(d)
	fins, slow := other.read(species.LongFins), other.read(species.Slowness)
	word := WordSlow
	if fins*finsInvite >= slow*slowInvites {
		word = WordLongFins
	}
	return Statement{Code: TemperNips, Actor: actor.Species, Other: other.Species,
		Evidence: []Evidence{
			{"fin_nipping", actor.read(species.FinNipping), "grade"},
			{"long_fins", fins, "grade"},
			{"slowness", slow, "grade"},
		}, Words: []WordCode{word}}
}

// read is a trait's typical value in the sex that has more of it.
func (p *Profile) read(t species.Trait) float64 {
	return reader{sp: p.Species, ind: p.Individual}.largest(t, typical)
}

func aggressionWord(grade float64) WordCode {
	switch {
	case grade >= 0.8:
		return WordRelentless
	case grade >= 0.5:
		return WordAggressive
	case grade >= 0.3:
		return WordTerritorial
	}
	return WordMild
}

func sizeWord(ratio float64) WordCode {
	switch ln := math.Log(ratio); {
	case ln > math.Ln2:
		return WordFarSmaller
	case ln > equalLength:
		return WordSmaller
	case ln < -equalLength:
		return WordLarger
	}
	return WordEqual
}

func nerveWord(timidity float64) WordCode {
	switch {
	case timidity >= 0.55:
		return WordTimid
	case timidity >= 0.25:
		return WordYielding
	}
	return WordBold
}
