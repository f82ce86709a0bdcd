package conflict

// Causes are the hazards of a pairing by their reason, as they act, zone and room included:
// what a calibration compares with judged reasons. Guarding parents count as their own
// cause, which a judge would call aggression.
type Causes struct {
	Value    float64 // the score, 0 to 100
	By       [NumReasons]float64
	Guarding float64
	Harm     [2]float64 // 0 to 1: first to second, second to first
}

// CausesOf evaluates a pairing at the typical values of its traits.
func (m *Model) CausesOf(a, b *Profile, c *Conditions) Causes {
	t := m.evaluate(a, b, c, typical)
	s := t.sums()
	out := Causes{Value: 100 * risk(s.total()), Harm: t.harm(), Guarding: s.guard * s.zone * s.room}
	clash := Aggression
	if OneKind(a.Species, b.Species) {
		clash = OwnKind
	}
	out.By[Predation] = s.swallow
	out.By[clash] = s.clash * s.zone * s.room
	out.By[FinNipping] = s.nip * s.zone
	out.By[Water] = s.water
	out.By[FeedingClash] = s.feed*s.zone + s.strains
	out.By[Hybridisation] = s.hybrid
	out.By[Room] = s.room1
	return out
}
