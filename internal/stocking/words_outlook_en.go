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
