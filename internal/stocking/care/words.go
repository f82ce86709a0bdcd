package care

import "commensal/internal/conflict"

// English are the English sentences of this package, see [conflict.Table]. They are short: a slip has 42 columns.
var English = conflict.Table{
	Sentences: map[conflict.Code]string{
		"care.size": "Grows to {length}, at most {longest}.",

		"care.group.solitary":   "One to a tank once grown.",
		"care.group.single":     "Alone or with others.",
		"care.group.pair":       "As a pair.",
		"care.group.harem":      "One male with {females} females.",
		"care.group.harem.some": "One male with several females.",
		"care.group.group":      "At least {least}, better {better}.",
		"care.group.group.some": "In a group of its own kind.",
		"care.group.colony":     "In a colony of its own kind.",

		"care.tank":        "About {length} by {width}, or more.",
		"care.tank_length": "About {length} long, or more.",
		"care.your_tank":   "It suits the customary group.",

		"care.water.temperature": "{low} to {high}.",
		"care.water.ph":          "pH {low} to {high}.",
		"care.water.gh":          "Hardness {low} to {high}.",
		"care.water.salinity":    "Salt {low} to {high}.",

		"care.food.piscivore":     "Fish and other whole prey.",
		"care.food.predator":      "Meaty food; takes any fish that fits.",
		"care.food.invertivore":   "Small live and frozen food.",
		"care.food.planktivore":   "Fine live and frozen food.",
		"care.food.omnivore":      "Mixed: dry, frozen and some plants.",
		"care.food.herbivore":     "Mostly plants and greens.",
		"care.food.algae_grazer":  "Growth on stones and wood; greens.",
		"care.food.detritivore":   "Leaves, wood film and sinking food.",
		"care.food.fin_and_scale": "Meaty food; bites fins and scales.",
		"care.food.molluscivore":  "Snails and other shelled food.",
		"care.food.scavenger":     "Leftovers and sinking food.",
		"care.food.filter_feeder": "Fine particles in moving water.",

		"care.level.surface": "Mostly at the surface.",
		"care.level.middle":  "Mostly in open water.",
		"care.level.bottom":  "Mostly at the bottom.",
		"care.level.all":     "At all levels.",

		"care.temper.mild":        "Mild towards other kinds.",
		"care.temper.territorial": "Defends ground of its own.",
		"care.temper.aggressive":  "Aggressive towards other kinds.",
		"care.temper.relentless":  "Attacks other kinds without end.",
		"care.eats_fish":          "Eats fish that it can overpower.",
		"care.may_eat_fish":       "May eat fish that fit its mouth.",
		"care.nips":               "Nips fins.",
		"care.may_nip":            "May nip fins.",
		"care.grips":              "Grips fish with its claws.",
		"care.may_grip":           "May grip small fish with its claws.",
		"care.fights_own":         "Fights its own kind.",
		"care.eats_plants":        "Eats or uproots plants.",

		"care.apart": "Not with {kinds}.",

		"care.caution.venomous":       "Venomous: never touch it; if stung, see a doctor.",
		"care.caution.sharp_spines":   "Sharp spines: no net, no bare hands.",
		"care.caution.electric":       "Gives electric shocks: never touch it.",
		"care.caution.bites":          "Bites: keep hands away.",
		"care.caution.poisonous":      "Poisonous when eaten or stressed.",
		"care.caution.invasive":       "Never release it into nature.",
		"care.caution.outgrows":       "Outgrows nearly every home tank.",
		"care.caution.wild_caught":    "Mostly caught wild: quarantine it.",
		"care.caution.hard_to_feed":   "Often refuses prepared food.",
		"care.caution.short_lived":    "Lives for a short time only.",
		"care.caution.air_breather":   "Breathes air: keep air under a tight lid.",
		"care.caution.needs_brackish": "Needs salt in the water when adult.",

		"care.jumps": "Can leave an open tank: keep a lid on.",
		"care.land":  "Needs land to walk on.",

		"care.law.forbidden": "May not be kept or sold there.",
		"care.law.permit":    "Only with a permit or papers there.",
		"care.law.many":      "Forbidden in many places: check first.",
		"care.law.some":      "Restricted in places: check first.",
		"care.law.unknown":   "The rules there are not on record.",
		"care.law.none":      "No rule against it is on record there.",
	},
}
