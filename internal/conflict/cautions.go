package conflict

import "commensal/internal/species"

// CautionNote is a warning that belongs beside an answer, with the species it
// concerns (empty for one about the tank or the answer itself).
type CautionNote struct {
	Code    species.Caution
	Species *species.Species
	Text    string
}

// The cautions that are not about one species.
const (
	Guidance  species.Caution = "guidance"
	HeavyTank species.Caution = "heavy_tank"
	Choking   species.Caution = "choking"
)

// heavyTankL is the volume in litres from which the floor is mentioned. A litre of
// water weighs about a kilogram, and glass, stand and rock come on top.
const heavyTankL = 200

// chokingArmour is the armour of prey from which a predator may choke on it.
const chokingArmour = 0.5

var cautionText = map[species.Caution]string{
	Guidance:             "Guidance, not a guarantee: individual animals differ. Watch them, and have a second tank ready.",
	HeavyTank:            "A tank of this size weighs several hundred kilograms or more: ask a structural engineer about the floor, and have wiring near water done by an electrician with a residual-current device.",
	Choking:              "Armour and spines may stick in the throat of a fish that tries to swallow them; that can kill both.",
	species.Venomous:     "Venomous: a sting is a medical emergency. Handle with tools, never with bare hands, and seek medical help at once.",
	species.SharpSpines:  "Locking spines tear nets and hands: move it in a container.",
	species.Electric:     "Gives electric shocks that can injure people: no hands in the tank, insulated gloves and tools, and never alone.",
	species.Bites:        "Bites: keep hands out at feeding and use tools in the tank.",
	species.Poisonous:    "Its flesh or mucus is poisonous: wash hands, never feed or eat it.",
	species.Regulated:    "Keeping, selling or moving it is restricted in some places: check local law first.",
	species.Invasive:     "Established outside its home range in places: never release fish or tank water into nature.",
	species.Tankbuster:   "Outgrows nearly every home tank: be sure of its adult home before buying.",
	species.WildCaught:   "Often wild caught: quarantine it, and see a veterinarian about sick fish.",
	species.HardToFeed:   "May refuse prepared food: see it eat before you take it.",
	species.ShortLived:   "Short-lived by nature: old age comes within two or three years.",
	species.NeedsAirGap:  "Breathes air: leave a gap of warm air under a tight lid.",
	species.Prohibited:   "Keeping or selling it is forbidden in many places; check local law before anything else.",
	species.SaltOverTime: "Needs salt in the water as an adult.",
}

// CautionText is the sentence for a caution, or "" for an unknown one.
func CautionText(c species.Caution) string { return cautionText[c] }

// spiny reports whether a kind can stick in a throat: armoured fish do, shells do not.
func spiny(sp *species.Species) bool {
	return sp.Traits[species.Armour].Typical >= chokingArmour && !sp.BodyForm.Invertebrate()
}

// cautions gathers what must be said beside a pairing, most dangerous first as the
// catalogue lists them, the general guidance last.
func cautions(a, b *species.Species, t *terms, c *Conditions) []CautionNote {
	var out []CautionNote
	list := []*species.Species{a, b}
	if a.ID == b.ID {
		list = list[:1]
	}
	for _, sp := range list {
		for _, code := range sp.Cautions {
			note := CautionNote{code, sp, cautionText[code]}
			if code == species.Regulated && sp.LegalNote != "" {
				note.Text = sp.LegalNote
			}
			out = append(out, note)
		}
	}
	for d, prey := range []*species.Species{b, a} {
		if risk(t.swallow[d]) >= possibleRisk && spiny(prey) {
			out = append(out, CautionNote{Choking, prey, cautionText[Choking]})
		}
	}
	if c.VolumeL() >= heavyTankL {
		out = append(out, CautionNote{HeavyTank, nil, cautionText[HeavyTank]})
	}
	return append(out, CautionNote{Guidance, nil, cautionText[Guidance]})
}

// HeavyTankL is the volume in litres from which the floor is mentioned.
const HeavyTankL = heavyTankL

// MayChoke reports whether hunter may try to swallow prey whose armour can stick in its
// throat: when the caution [Choking] belongs beside the pairing.
func (m *Model) MayChoke(hunter, prey *Profile) bool {
	return spiny(prey.Species) &&
		risk(m.swallowHazard(&hunter.actor, &prey.victim)) >= possibleRisk
}
