package stocking

import (
	"maps"

	"commensal/internal/conflict"
)

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
		OutlookTips:       "{kinds} and {others} get on worse as they grow.",
		OutlookTipsOwn:    "{kinds} get on worse with their own kind as they grow.",
		OutlookTankLength: "{kinds} outgrow the tank of {tank_length}: adults need {needed_length}.",
		OutlookFootprint:  "{kinds} outgrow the floor of {tank_length} by {tank_width}: adults need about {needed_length} by {needed_width}.",
		OutlookGround:     "{kinds} mature and claim ground, {territory} around them.",

		LaterConflict: "{kinds} and {others} will not get on once grown ({level} conflict in about {month}): have another tank ready.",
		LaterOwnKind:  "{kinds} will fight among themselves once grown ({level} conflict in about {month}): have another tank ready.",
		GrownConflict: "{kinds} and {others} will not get on once grown ({level} conflict): have another tank ready.",
		GrownOwnKind:  "{kinds} will fight among themselves once grown ({level} conflict): have another tank ready.",
		YoungConflict: "{kinds} and {others} are in {level} conflict while some are young: keep them apart until those have grown.",
		YoungOwnKind:  "Old and young {kinds} are in {level} conflict: keep them apart until the young have grown.",
	},
}

// englishOutlookShort are the clauses for summaries.
var englishOutlookShort = map[Code]string{
	LaterConflict: "{kinds} and {others} will clash in about {month}",
	LaterOwnKind:  "{kinds} will fight among themselves in about {month}",
	GrownConflict: "{kinds} and {others} will clash once grown",
	GrownOwnKind:  "{kinds} will fight among themselves once grown",
	YoungConflict: "{kinds} and {others} clash while some are young",
	YoungOwnKind:  "old and young {kinds} clash",
}
