package words

// englishTraits are the names of traits and units.
var englishTraits = map[string]string{
	"trait.length": "Length", "trait.depth_ratio": "Body depth", "trait.growth_k": "Growth", "trait.lifespan": "Life span",
	"trait.maturity": "Maturity", "trait.gape": "Mouth", "trait.prey_limit": "Largest prey", "trait.piscivory": "Eats fish",
	"trait.aggression_others": "Temper to others", "trait.aggression_own": "Temper to its own", "trait.aggression_alike": "Temper to look-alikes",
	"trait.territory": "Territory", "trait.fin_nipping": "Fin nipping", "trait.timidity": "Shyness", "trait.long_fins": "Long fins",
	"trait.slowness": "Slowness", "trait.armour": "Armour", "trait.group_min": "Group", "trait.females_per_male": "Females to a male",
	"trait.brood_guarding": "Guards its brood", "trait.tank_length": "Tank length", "trait.tank_width": "Tank width",
	"trait.tank_height": "Tank height", "trait.activity": "Activity", "trait.digging": "Digging", "trait.plant_eating": "Eats plants",
	"trait.jumping": "Jumping", "trait.feeding_pace": "Feeding pace", "trait.animal_food": "Animal food", "trait.flow": "Current",
	"trait.claws": "Claws",
	"unit.cm":     "cm", "unit.year": "years", "unit.1/year": "a year", "unit.month": "months", "unit.share": "of its length",
	"unit.grade": "of 1", "unit.fish": "fish", "unit.ratio": "",
	"sex.male": "male", "sex.female": "female",
}

// englishKinds are ways of living, feeding and what is needed.
var englishKinds = map[string]string{
	"social.solitary": "alone as an adult", "social.single": "alone or with others", "social.pair": "as a pair",
	"social.harem": "one male with several females", "social.group": "in a group", "social.colony": "in a colony",
	"group.of": "{social}, {low} or more, better {typical}", "group.alone": "{social}",
	"guild.piscivore": "whole fish and meaty food", "guild.predator": "large meaty food; takes any animal that fits",
	"guild.invertivore": "small animal food", "guild.planktivore": "fine animal food from open water",
	"guild.omnivore": "animal and plant food", "guild.herbivore": "plants and greens", "guild.algae_grazer": "algae, greens and what lives in them",
	"guild.detritivore": "soft plant matter, wood and what settles", "guild.fin_and_scale": "meaty food; takes fins and scales of others",
	"guild.molluscivore": "snails and hard-shelled food", "guild.scavenger": "leftovers and sinking food", "guild.filter_feeder": "fine food drifting in a current",
	"temper.relentless": "attacks until it is alone", "temper.aggressive": "aggressive", "temper.territorial": "defends its ground", "temper.mild": "peaceful",
	"need.plants": "plants", "need.hiding_places": "hiding places", "need.open_water": "open water to swim", "need.sand": "sand",
	"need.very_clean_water": "very clean water", "need.caves": "caves", "need.rocks": "rocks", "need.dim_light": "dim light",
	"need.mature_tank": "a tank that has run for months", "need.wood": "wood", "need.no_copper": "water without copper", "need.still_water": "still water",
	"need.floating_plants": "floating plants", "need.unheated": "no heater", "need.live_food": "live food", "need.strong_current": "a strong current",
	"need.heater": "a heater", "need.land_area": "a land area", "need.shells": "empty shells",
	"language.en": "English", "language.de": "German", "language.fr": "French", "language.es": "Spanish",
	"language.pt": "Portuguese", "language.ja": "Japanese", "language.zh-Hans": "Chinese",
}
