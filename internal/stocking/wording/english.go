package wording

import (
	"maps"

	"commensal/internal/conflict"
	"commensal/internal/stocking"
)

// The English words. In a sentence {kinds}, {actors} and {others} are names, see names.go, {0} is a word of
// the statement, and any other name in braces is the value of that evidence with its unit.
// The clauses are what a summary says instead, without a full stop.
var (
	english   = language{words: conflict.English(false).With(englishTable).With(englishOutlook), short: englishClauses, several: englishSeveral, lead: englishLead, moreOne: englishMoreOne, moreMany: englishMoreMany, observed: englishObserved, dot: "."}
	englishUS = language{words: conflict.English(true).With(englishTable).With(englishOutlook), short: englishClauses, several: englishSeveral, lead: englishLead, moreOne: englishMoreOne, moreMany: englishMoreMany, observed: englishObserved, dot: "."}
)

const (
	englishMoreOne  = "; one other problem"
	englishMoreMany = "; {count} other problems"
)

var (
	englishLead     = [stocking.Hold + 1]string{"Proceed", "Advise", "Hold"}
	englishObserved = [3]string{
		" Calmer for {months}: {level} ({score}); its species: {species_level} ({species_score}).",
		"",
		" Fiercer for {months}: {level} ({score}); its species: {species_level} ({species_score}).",
	}
)

var englishTable = conflict.Table{
	Sentences: map[stocking.Code]string{
		stocking.GroupTooSmall:     "Too few {kinds}: {count}. Keep at least {group_min}, better {group_customary}.",
		stocking.GroupBelowCustom:  "{kinds}: {count} will do, {group_customary} is better.",
		stocking.SolitaryInNumbers: "Grown {kinds} live alone: {count} in one tank will not last.",
		stocking.SexRatio:          "Too few females among the {kinds}: {males} males, {females} females. Keep about {females_per_male} to each male.",
		stocking.SexesWrong:        "Too many males among the {kinds}: {males}. One male to a tank is customary.",
		stocking.SexNotTold:        "Shops cannot tell the sexes of {kinds}: the sex given may be a guess.",
		stocking.AsFood:            "{actors} eat {others}: ask whether they are meant as food.",
		stocking.FryExpected:       "Males and females of {kinds} breed by themselves: expect fry, and have a home for them.",

		stocking.LawForbids:      "{kinds} may not be kept or sold where you are.",
		stocking.LawPermit:       "{kinds} may be kept or sold only with a permit or papers where you are.",
		stocking.LawUnknown:      "{kinds} are forbidden in many places: check the law where you are before anything else.",
		stocking.DangerousUnseen: "{kinds} can hurt people and grow to {length}: see the tank and the keeper first.",
		stocking.GiantUnhoused:   "{kinds} grow to {length} and outgrow nearly every home tank: see the tank first.",
		stocking.TankAsked:       "{kinds} need a tank about {needed_length} long: ask for its size first.",
		stocking.NameNotFound:    "{word} was not found and is not judged: find out what it is.",

		"not_a_fish_plant":      "{word} is a plant: it is not judged, and plants are welcome to most fish.",
		"not_a_fish_hardscape":  "{word} is furnishing, not an animal: it is not judged.",
		"not_a_fish_food":       "{word} is food: it is not judged.",
		"not_a_fish_medicine":   "{word} is a treatment: it is not judged. Shrimps and snails bear many badly; read the leaflet or ask a vet.",
		"not_a_fish_equipment":  "{word} is equipment: it is not judged.",
		"not_a_fish_frog":       "{word} is a frog and not covered: frogs eat what fits their mouth, and quick fish take their food.",
		"not_a_fish_salamander": "{word} is a salamander and not covered: it needs cold water, alone, and eats what fits its mouth.",
		"not_a_fish_turtle":     "{word} is a turtle and not covered: turtles hunt fish and foul their water.",
		"not_a_fish_marine":     "{word} is an animal of the sea and not covered: it cannot live in fresh water.",
		"not_a_fish_insect":     "{word} is not covered: many water insects eat small fish and shrimps.",
		"not_a_fish_reptile":    "{word} is a reptile and not covered: it may eat fish, and the law may ask for a permit.",

		stocking.TankTooShort:      "{kinds} need a tank about {needed_length} long, {least_length} at the least; this one is {tank_length}.",
		stocking.FootprintTooSmall: "{kinds} need a floor of about {needed_length} by {needed_width}; this one is {tank_length} by {tank_width}.",
		stocking.TankTooLow:        "{kinds} need a tank about {needed_height} high; this one is {tank_height}.",

		stocking.OutsideTolerated: "The {0} of {reading} is wrong for {kinds}: they tolerate {tolerated_low} to {tolerated_high} for the long term.",
		stocking.OutsidePreferred: "The {0} of {reading} is outside what {kinds} prefer: {preferred_low} to {preferred_high}.",
		stocking.SwungOutside:     "Of late the {0} was at {extreme}, outside what {kinds} tolerate for the long term: {tolerated_low} to {tolerated_high}.",
		stocking.WaterSwings:      "The {0} ranged from {lowest} to {highest} within {days} days: look for the cause.",
		stocking.NoSharedWater:    "No {0} suits both: {actors} need {low_range_low} to {low_range_high}, {others} {high_range_low} to {high_range_high}.",

		stocking.LidNeeded:          "{kinds} can jump or climb out: keep a tight lid on the tank.",
		stocking.FlowTooStrong:      "The flow is strong for {kinds}: {turnover} volumes an hour; up to {turnover_limit} suits them.",
		stocking.FlowTooWeak:        "The flow is weak for {kinds}: {turnover} volumes an hour; {turnover_limit} and more suits them.",
		stocking.CoverThin:          "{kinds} need more places out of sight.",
		stocking.LandNeeded:         "{kinds} need land to walk on and shallow water, no tank full to the top.",
		stocking.SaltNeeded:         "{kinds} need salt in the water when adult: it is not told whether this tank has it.",
		stocking.SandNeeded:         "{kinds} need sand to dig in or sift.",
		stocking.MatureTankNeeded:   "{kinds} do badly in a new tank: let it run for some months first.",
		stocking.LongerThanRecorded: "{kinds} of {length} are longer than any on record, {longest} at most. Judged with the length given.",
		stocking.AgeAgainstLength:   "{length} does not fit {kinds} of {age}: {shortest} to {longest} is expected. Judged with the length given.",
		stocking.PlantsEaten:        "{kinds} eat or uproot plants: expect losses in a planted tank.",
		stocking.LongCommitment:     "{kinds} live {years} or more in good care.",
		stocking.Hybrids:            "{actors} and {others} interbreed: do not sell or give away the young.",

		stocking.GroundCrowded: "Too many territories: together they need {ratio} times this floor.",
		stocking.ZoneCrowded:   "Too many fish at {0}: side by side they would cover {covered} of the {footprint} cm².",
		stocking.TankCrowded:   "Too many fish for this tank: side by side they would cover {covered} of the {footprint} cm².",

		stocking.TurnoverLow:      "The filter is weak: {turnover} volumes an hour, where at least {turnover_limit} is customary.",
		stocking.LoadHeavy:        "Too many fish for the water: {share_needed} of it would need changing every week to hold nitrate at {ceiling}.",
		stocking.LoadTooHeavy:     "Far too many fish for the water: nitrate rises by about {rise} a week, and no weekly change holds {ceiling}.",
		stocking.NoWaterChange:    "Without water changes nitrate rises by about {rise} a week: change about {share_needed} every week.",
		stocking.NitrateHigh:      "With {share} of the water changed weekly nitrate settles near {before}; {share_needed} a week holds {ceiling}.",
		stocking.FilterImmature:   "The filter is new: with these fish ammonia would rise by about {tan_rise} of nitrogen a day.",
		stocking.OxygenThin:       "In a power cut the dissolved oxygen would last about {hours}.",
		stocking.HeavyTank:        "The water alone weighs about {water_mass}: make sure the floor can carry it.",
		stocking.FootprintUnknown: "Only the volume, {volume}, is known.",
		stocking.VolumeUnknown:    "The size of the tank is not known: room and load are not judged.",

		stocking.AssumedNoTank:      "No tank given: each pairing is judged in the smallest tank customary for both.",
		stocking.AssumedFootprint:   "The size is not known: each pairing is judged in the smallest tank customary for both.",
		stocking.AssumedShape:       "Only the volume is known: {volume} is taken as a tank of {length} by {width} by {height}.",
		stocking.AssumedCover:       "Cover is not known: a normally furnished tank is assumed.",
		stocking.AssumedWater:       "Not measured: {words}. The best value for all is assumed.",
		stocking.AssumedTemperature: "No temperature reading: the load is worked out at {temperature}.",
		stocking.AssumedNetVolume:   "{share} of the inside volume, {water}, is assumed to be water.",
		stocking.AssumedSource:      "The nitrate of the new water is not known: none is assumed.",
		stocking.AssumedFood:        "Dry food with {protein} protein at about maintenance is assumed.",
		stocking.AssumedCount:       "No number given: {n_kinds} assumed, as is customary.",
		stocking.AssumedMood:        "{kinds}: a disposition without months_observed counts for nothing; ordinary animals are assumed.",

		stocking.AskTank:        "How large is the tank (length, width, height or litres)?",
		stocking.AskPermit:      "Is there a permit, or are there papers, for {kinds}?",
		stocking.AskLaw:         "May {kinds} be kept where you are (give the region)?",
		stocking.AskName:        "Which animals are meant by the names that were not found?",
		stocking.AskSalinity:    "How salty is the water, as {kinds} need salt when adult?",
		stocking.AskTemperature: "What is the water temperature?",
		stocking.AskSex:         "How many of the {kinds} are males, how many females?",
		stocking.AskSides:       "How long and wide is the tank?",
		stocking.AskFilter:      "Has the filter run for some months, so that {kinds} find food?",
		stocking.AskLid:         "Has the tank a tight lid?",

		stocking.ReasonWaterApart: "{actors} and {others} share no {0}.",
		stocking.ReasonMakesRoom:  "Without {kinds} there is room for the others.",
		stocking.ReasonTankHeld:   "This tank is on hold as it is, before anyone joins.",

		stocking.SummaryFine:       "No problem found between these {number} kinds.",
		stocking.SummaryFineSingle: "No problem found with {kinds}.",
		stocking.SummaryNothing:    "Nothing on this list can be judged.",

		"change.raise_group":    "Keep {n_kinds} instead of {count_now}.",
		"change.reduce_group":   "Keep {n_kinds}.",
		"change.add_females":    "Add {count} females to the {kinds}.",
		"change.leave_out":      "Leave out the {kinds}.",
		"change.separate":       "Give the {kinds} a tank of their own.",
		"change.larger_tank":    "Use a tank of at least {length} by {width} by {height}.",
		"change.more_cover":     "Add wood, rock and plants to break up the view: cover {to} instead of {from}.",
		"change.move_reading":   "Bring the {0} from {from} to {to}.",
		"change.close_lid":      "Close the tank with a tight lid.",
		"change.lay_sand":       "Use sand.",
		"change.mature_filter":  "Let the filter mature first.",
		"change.move_turnover":  "Set the filter to {to} volumes an hour.",
		"change.change_water":   "Change {to} of the water every week.",
		"change.remove_plants":  "Do without plants, or use ones that are left alone.",
		"change.correct_length": "Measure again: {longest} is the longest on record.",
	},
}

// englishSeveral is what a finding says of several kinds at once, where the figures of one of them
// would not be those of all.
var englishSeveral = map[stocking.Code]string{
	stocking.OutsideTolerated:  "The {0} of {reading} is wrong for {kinds}.",
	stocking.OutsidePreferred:  "The {0} of {reading} is not what {kinds} prefer.",
	stocking.TankTooShort:      "The tank is too short for {kinds}: at least {needed_length} is needed; this one is {tank_length}.",
	stocking.FootprintTooSmall: "The floor is too small for {kinds}.",
	stocking.TankTooLow:        "The tank is too low for {kinds}.",
	stocking.TankAsked:         "{kinds} need a roomy tank: ask for its size first.",
	stocking.GiantUnhoused:     "{kinds} outgrow nearly every home tank: see the tank first.",
	stocking.GroupBelowCustom:  "{kinds} would like more company.",
	stocking.LongCommitment:    "{kinds} live for ten years or more in good care.",
	stocking.FlowTooStrong:     "The flow is strong for {kinds}.",
	stocking.FlowTooWeak:       "The flow is weak for {kinds}.",
}

var englishShort = map[stocking.Code]string{
	stocking.GroupTooSmall:      "too few {kinds}",
	stocking.SolitaryInNumbers:  "grown {kinds} live alone",
	stocking.SexRatio:           "too few females among the {kinds}",
	stocking.SexesWrong:         "too many males among the {kinds}",
	stocking.FryExpected:        "{kinds} will breed",
	stocking.LawForbids:         "{kinds} may not be kept or sold where you are",
	stocking.LawPermit:          "{kinds} may be kept or sold only with a permit where you are",
	stocking.LawUnknown:         "{kinds} are forbidden in many places",
	stocking.DangerousUnseen:    "{kinds} can hurt people: see the tank first",
	stocking.GiantUnhoused:      "{kinds} outgrow nearly every home tank",
	stocking.TankAsked:          "ask for the tank: {kinds} need a roomy one",
	stocking.NameNotFound:       "{word} was not found",
	stocking.TankTooShort:       "{kinds} need a tank about {needed_length} long, not {tank_length}",
	stocking.FootprintTooSmall:  "{kinds} need a larger floor",
	stocking.TankTooLow:         "the tank is too low for {kinds}",
	stocking.OutsideTolerated:   "the {0} of {reading} is wrong for {kinds}",
	stocking.OutsidePreferred:   "the {0} of {reading} is not what {kinds} prefer",
	stocking.NoSharedWater:      "no {0} suits both {actors} and {others}",
	stocking.LidNeeded:          "{kinds} need a tight lid",
	stocking.FlowTooStrong:      "the flow is too strong for {kinds}",
	stocking.FlowTooWeak:        "the flow is too weak for {kinds}",
	stocking.CoverThin:          "{kinds} need more cover",
	stocking.MatureTankNeeded:   "a new tank is not ready for {kinds}",
	stocking.LongerThanRecorded: "{kinds} of {length} are longer than any on record",
	stocking.AgeAgainstLength:   "length and age of the {kinds} do not fit",
	stocking.PlantsEaten:        "{kinds} eat plants",
	stocking.Hybrids:            "{actors} and {others} interbreed",
	stocking.GroundCrowded:      "too many territories for this floor",
	stocking.ZoneCrowded:        "too many fish at {0}",
	stocking.TankCrowded:        "too many fish for this tank",
	stocking.LoadHeavy:          "too many fish for the water",
	stocking.LoadTooHeavy:       "far too many fish for the water",
	stocking.NoWaterChange:      "the water has to be changed",
	stocking.NitrateHigh:        "nitrate settles near {before}",
	stocking.FilterImmature:     "the filter is new",
	stocking.TurnoverLow:        "the filter is weak",

	"not_a_fish_frog":       "{word} is a frog: it eats what fits its mouth",
	"not_a_fish_salamander": "{word} is a salamander: it needs cold water, alone",
	"not_a_fish_turtle":     "{word} is a turtle: turtles hunt fish",
	"not_a_fish_marine":     "{word} is an animal of the sea",
	"not_a_fish_insect":     "{word} may eat small fish",
	"not_a_fish_reptile":    "{word} is a reptile: it may eat fish",
}

// englishClauses are all clauses for summaries.
var englishClauses = func() map[stocking.Code]string {
	all := maps.Clone(englishShort)
	maps.Copy(all, englishOutlookShort)
	return all
}()

// englishOutlook are the English words for what is to come. The lead of an event is its
// time, and the level that a pairing then has; the event follows after a colon.
var englishOutlook = conflict.Table{
	Sentences: map[stocking.Code]string{
		stocking.WhenNow:     "now",
		stocking.WhenAbout:   "in about {month}",
		stocking.WhenBetween: "in about {month} ({month_low} to {month_high})",
		stocking.WhenFrom:    "in about {month} ({month_low} at the earliest)",
		stocking.WhenGrown:   "once grown, in more than ten years or with a growth that is not on record",

		stocking.OutlookLevel:      "{level} conflict",
		stocking.OutlookTips:       "{actors} and {others} get on worse as they grow.",
		stocking.OutlookTipsOwn:    "{kinds} get on worse with their own kind as they grow.",
		stocking.OutlookTankLength: "{kinds} outgrow the tank of {tank_length}: adults need {needed_length}.",
		stocking.OutlookFootprint:  "{kinds} outgrow the floor of {tank_length} by {tank_width}: adults need about {needed_length} by {needed_width}.",
		stocking.OutlookGround:     "{kinds} mature and claim ground, {territory} around them.",

		stocking.LaterConflict: "{actors} and {others} will not get on once grown ({level} conflict in about {month}): have another tank ready.",
		stocking.LaterOwnKind:  "{kinds} will fight among themselves once grown ({level} conflict in about {month}): have another tank ready.",
		stocking.GrownConflict: "{actors} and {others} will not get on once grown ({level} conflict): have another tank ready.",
		stocking.GrownOwnKind:  "{kinds} will fight among themselves once grown ({level} conflict): have another tank ready.",
		stocking.YoungConflict: "{actors} and {others} are in {level} conflict while some are young: keep them apart until those have grown.",
		stocking.YoungOwnKind:  "Old and young {kinds} are in {level} conflict: keep them apart until the young have grown.",
	},
}

// englishOutlookShort are the clauses for summaries.
var englishOutlookShort = map[stocking.Code]string{
	stocking.LaterConflict: "{actors} and {others} will clash in about {month}",
	stocking.LaterOwnKind:  "{kinds} will fight among themselves in about {month}",
	stocking.GrownConflict: "{actors} and {others} will clash once grown",
	stocking.GrownOwnKind:  "{kinds} will fight among themselves once grown",
	stocking.YoungConflict: "{actors} and {others} clash while some are young",
	stocking.YoungOwnKind:  "old and young {kinds} clash",
}
