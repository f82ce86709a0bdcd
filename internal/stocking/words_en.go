package stocking

import (
	"maps"

	"commensal/internal/conflict"
)

// The English words. In a sentence {actor} and {other} are names, {0} a word of the
// statement, and any other name in braces is the value of that evidence with its unit.
// The clauses are what a summary says instead, without a full stop.
var (
	english   = language{words: conflict.English(false).With(englishTable).With(englishOutlook), short: englishClauses, lead: englishLead, moreOne: englishMoreOne, moreMany: englishMoreMany, observed: englishObserved, dot: "."}
	englishUS = language{words: conflict.English(true).With(englishTable).With(englishOutlook), short: englishClauses, lead: englishLead, moreOne: englishMoreOne, moreMany: englishMoreMany, observed: englishObserved, dot: "."}
)

const (
	englishMoreOne  = "; one more such reason"
	englishMoreMany = "; {count} more such reasons"
)

var (
	englishLead     = [Hold + 1]string{"Proceed", "Advise", "Hold"}
	englishObserved = [3]string{
		" Calmer for {months}: {level} ({score}); its species: {species_level} ({species_score}).",
		"",
		" Fiercer for {months}: {level} ({score}); its species: {species_level} ({species_score}).",
	}
)

var englishTable = conflict.Table{
	Sentences: map[Code]string{
		GroupTooSmall:     "{actor} lives in company: {count} of them are too few, keep at least {group_min}, better {group_customary}.",
		GroupBelowCustom:  "{actor}: {count} are enough, {group_customary} are customary and show it at its best.",
		SolitaryInNumbers: "{actor} lives alone as an adult: {count} in one tank will not last.",
		SexRatio:          "{actor}: {males} males to {females} females; keep about {females_per_male} females to each male.",
		SexesWrong:        "{actor}: {males} males with {females} females; one male to a tank is customary.",
		SexNotTold:        "The sexes of {actor} are not told apart in the trade: the sex given may be a guess.",

		TankTooShort:      "{actor} as an adult needs a tank {needed_length} long, {least_length} at the very least; this one is {tank_length} long.",
		FootprintTooSmall: "{actor} as an adult needs a floor like {needed_length} by {needed_width}; this one is {tank_length} by {tank_width}.",
		TankTooLow:        "{actor} needs a tank {needed_height} high; this one is {tank_height} high.",

		OutsideTolerated: "The {0} of {reading} is outside what {actor} lives with for years, {tolerated_low} to {tolerated_high}.",
		OutsidePreferred: "The {0} of {reading} is outside what {actor} prefers, {preferred_low} to {preferred_high}.",
		SwungOutside:     "Of late the {0} was at {extreme}, outside what {actor} lives with for years, {tolerated_low} to {tolerated_high}.",
		WaterSwings:      "The {0} ranged from {lowest} to {highest} within {days} days: look for the cause.",
		NoSharedWater:    "No {0} suits both {actor}, {low_range_low} to {low_range_high}, and {other}, {high_range_low} to {high_range_high}.",

		LidNeeded:          "{actor} leaves an open tank: keep a tight lid on it.",
		FlowTooStrong:      "{actor} wants quieter water: {turnover} volumes an hour are much, up to {turnover_limit} suit it.",
		FlowTooWeak:        "{actor} wants moving water: {turnover} volumes an hour are little, from {turnover_limit} suit it.",
		CoverThin:          "{actor} needs places out of sight: cover {cover} is thin, {needed_cover} is customary.",
		SandNeeded:         "{actor} needs sand to dig or sift.",
		MatureTankNeeded:   "{actor} needs a tank that has run for months.",
		LongerThanRecorded: "{actor} at {length} is longer than adults on record, at most {longest}; judged with the length given.",
		AgeAgainstLength:   "{actor} at {length} does not fit an age of {age}: {shortest} to {longest} is expected. Judged with the length given.",
		PlantsEaten:        "{actor} eats or uproots plants: expect losses in a planted tank.",
		LongCommitment:     "{actor} lives {years} or more in good care.",
		Hybrids:            "{actor} and {other} cross: keep one of them, or never pass on the young.",

		GroundCrowded: "The fish together defend {ground} cm² of ground, {ratio} times the {footprint} cm² there are.",
		ZoneCrowded:   "Too many fish swim at {0}: side by side they would cover {covered} of the {footprint} cm².",
		TankCrowded:   "Too many fish for the room: side by side they would cover {covered} of the {footprint} cm².",

		TurnoverLow:      "The filter turns over {turnover} volumes an hour; {turnover_limit} are customary at least.",
		LoadHeavy:        "To hold nitrate at {ceiling}, {share_needed} of the water would have to be changed every week.",
		LoadTooHeavy:     "The fish raise nitrate by about {rise} a week: no weekly change can hold {ceiling}.",
		NoWaterChange:    "Without water changes nitrate rises by about {rise} a week; change about {share_needed} every week.",
		NitrateHigh:      "With {share} of the water changed weekly nitrate settles near {before}; {share_needed} a week holds {ceiling}.",
		FilterImmature:   "The filter is not mature: ammonia would rise by about {tan_rise} of nitrogen a day.",
		OxygenThin:       "In a power cut the dissolved oxygen would last about {hours}.",
		HeavyTank:        "The water alone weighs about {water_mass}: the floor must be able to carry that, and the tank besides.",
		FootprintUnknown: "Only the volume, {volume}, is known: what length and footprint decide is not judged.",
		VolumeUnknown:    "The size of the tank is not known: nothing that depends on room or volume is judged.",

		AssumedNoTank:      "No tank given: each pairing is judged in the smallest tank customary for both.",
		AssumedFootprint:   "No dimensions given: each pairing is judged on the smallest footprint customary for both.",
		AssumedCover:       "Cover is not known: normal cover, {cover}, is taken.",
		AssumedWater:       "No {0} reading: each pairing is judged at its best common value.",
		AssumedTemperature: "No temperature reading: the load is computed at {temperature}, where the warmest of the fish are at their best.",
		AssumedNetVolume:   "{share} of the inside volume, {water}, is taken to be water.",
		AssumedSource:      "The nitrate of the new water is not known: it is taken to have none.",
		AssumedFood:        "Feed is taken to be dry food with {protein} protein, given at about maintenance.",
		AssumedCount:       "{actor}: no number given; the customary {count} is taken.",

		ReasonWaterApart: "{actor} and {other} have no {0} in common.",
		ReasonMakesRoom:  "Without {actor} there is room for the others.",
		ReasonTankHeld:   "This tank is on hold as it is, before anyone joins.",

		SummaryFine:       "Nothing speaks against keeping these {kinds} kinds together.",
		SummaryFineSingle: "Nothing speaks against {actor}.",

		"change.raise_group":    "Keep {count} of {actor} instead of {count_now}.",
		"change.reduce_group":   "Keep {count} of {actor}.",
		"change.add_females":    "Add {count} females of {actor}.",
		"change.leave_out":      "Leave out {actor}.",
		"change.separate":       "Give {actor} a tank of its own.",
		"change.larger_tank":    "Use a tank of at least {length} by {width} by {height}.",
		"change.more_cover":     "Break up the sight lines with wood, rock and plants: cover {to} instead of {from}.",
		"change.move_reading":   "Move the {0} from {from} to {to}.",
		"change.close_lid":      "Close the tank with a tight lid.",
		"change.lay_sand":       "Lay a floor of sand.",
		"change.mature_filter":  "Let the filter mature first.",
		"change.move_turnover":  "Set the filter to {to} volumes an hour.",
		"change.change_water":   "Change {to} of the water every week.",
		"change.remove_plants":  "Do without plants, or use ones it leaves alone.",
		"change.correct_length": "Measure again: {longest} is the longest on record.",
	},
}

var englishShort = map[Code]string{
	GroupTooSmall:      "{count} of {actor} are too few, at least {group_min}",
	SolitaryInNumbers:  "{actor} lives alone, not {count} to a tank",
	SexRatio:           "too few females of {actor}",
	SexesWrong:         "too many males of {actor}",
	TankTooShort:       "{actor} needs a tank {needed_length} long, not {tank_length}",
	FootprintTooSmall:  "{actor} needs {needed_length} by {needed_width}",
	TankTooLow:         "the tank is too low for {actor}",
	OutsideTolerated:   "the {0} of {reading} is wrong for {actor}",
	OutsidePreferred:   "the {0} of {reading} is not what {actor} prefers",
	NoSharedWater:      "no {0} suits both {actor} and {other}",
	FlowTooStrong:      "the flow is too strong for {actor}",
	FlowTooWeak:        "the flow is too weak for {actor}",
	CoverThin:          "{actor} needs more cover",
	LongerThanRecorded: "{actor} at {length} is longer than any on record",
	AgeAgainstLength:   "{actor}'s length does not fit its age",
	PlantsEaten:        "{actor} eats plants",
	Hybrids:            "{actor} and {other} cross",
	GroundCrowded:      "too many territories for the ground there is",
	ZoneCrowded:        "too many fish at {0}",
	TankCrowded:        "too many fish for the room",
	LoadHeavy:          "{share_needed} of the water would have to be changed weekly",
	LoadTooHeavy:       "no weekly water change can hold nitrate at {ceiling}",
	NoWaterChange:      "the water has to be changed",
	NitrateHigh:        "nitrate settles near {before}",
	FilterImmature:     "the filter is not mature",
	TurnoverLow:        "the filter is too weak",
}

// englishClauses are all clauses for summaries.
var englishClauses = func() map[Code]string {
	all := maps.Clone(englishShort)
	maps.Copy(all, englishOutlookShort)
	return all
}()

// englishOutlook are the English words for what is to come. The lead of an event is its
// time, and the level that a pairing then has; the event follows after a colon.
var englishOutlook = conflict.Table{
	Sentences: map[Code]string{
		WhenNow:     "now",
		WhenAbout:   "in about {month}",
		WhenBetween: "in about {month} ({month_low} to {month_high})",
		WhenFrom:    "in about {month} ({month_low} at the earliest)",
		WhenGrown:   "once grown, in more than ten years or with a growth that is not on record",

		OutlookLevel:      "{level} conflict",
		OutlookTips:       "{actor} and {other} bear each other less as they grow.",
		OutlookTipsOwn:    "{actor} bears its own kind less as it grows.",
		OutlookTankLength: "{actor} outgrows the tank of {tank_length}: adults need {needed_length}.",
		OutlookFootprint:  "{actor} outgrows the floor of {tank_length} by {tank_width}: adults need one like {needed_length} by {needed_width}.",
		OutlookGround:     "{actor} matures and claims ground, {territory} around it.",

		LaterConflict: "As they grow, {actor} and {other} come to {level} conflict in about {month}: have another tank ready before then.",
		LaterOwnKind:  "As it grows, {actor} comes to {level} conflict with its own kind in about {month}: have another tank ready before then.",
		GrownConflict: "Once grown, {actor} and {other} come to {level} conflict: have another tank ready before then.",
		GrownOwnKind:  "Once grown, {actor} comes to {level} conflict with its own kind: have another tank ready before then.",
		YoungConflict: "At the age they have today, {actor} and {other} are in {level} conflict: keep them apart until the young have grown.",
		YoungOwnKind:  "At the age they have today, old and young {actor} are in {level} conflict: keep them apart until the young have grown.",
	},
}

// englishOutlookShort are the clauses for summaries.
var englishOutlookShort = map[Code]string{
	LaterConflict: "{actor} and {other} clash in about {month}",
	LaterOwnKind:  "{actor} fights its own kind in about {month}",
	GrownConflict: "{actor} and {other} clash once grown",
	GrownOwnKind:  "{actor} fights its own kind once grown",
	YoungConflict: "{actor} and {other} clash while there are young",
	YoungOwnKind:  "old and young {actor} clash",
}
