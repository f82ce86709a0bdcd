package conflict

// HeavyTankL is the volume in litres from which the floor is mentioned.
const HeavyTankL = heavyTankL

// MayChoke reports whether hunter may try to swallow prey whose armour can stick in its
// throat: when the caution [Choking] belongs beside the pairing.
func (m *Model) MayChoke(hunter, prey *Profile) bool {
	return spiny(prey.Species) &&
		risk(m.swallowHazard(&hunter.actor[typical], &prey.victim[typical])) >= possibleRisk
}
