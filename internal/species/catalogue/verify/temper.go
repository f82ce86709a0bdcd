package verify

import (
	"commensal/internal/species"
	"commensal/internal/species/catalogue/entry"
)

// temper checks the grades of behaviour against each other.
func (e entryVerifier) temper() {
	t := func(trait species.Trait) float64 { return e.s.Traits[trait].Typical }
	for _, clash := range []struct {
		field species.Trait
		with  species.Trait
		wrong bool
		why   string
	}{
		{species.AggressionOwn, species.AggressionOthers, t(species.AggressionOwn) < t(species.AggressionOthers)-milderToOwn,
			"hardly any fish is that much milder to its own kind"},
		{species.AggressionAlike, species.AggressionOwn, t(species.AggressionAlike) > t(species.AggressionOwn)+fiercerToAlike,
			"hardly any fish is fiercer to look-alikes than to its own kind"},
		{species.Timidity, species.AggressionOthers, t(species.Timidity) > cowedTimidity && t(species.AggressionOthers) > boldAggression,
			"a fish is not both cowed and a bully"},
		{species.Territory, species.AggressionOwn, t(species.Territory) >= openGround && max(t(species.AggressionOwn), t(species.AggressionOthers), t(species.BroodGuarding)) < gentle,
			"it defends ground but presses nobody"},
		{species.BroodGuarding, species.AggressionOthers, t(species.BroodGuarding) > t(species.AggressionOthers)+guardsMore,
			"a parent that fierce presses others too"},
		{species.Activity, species.Slowness, t(species.Activity) > busyActivity && t(species.Slowness) > slowSlowness,
			"a fish that cannot get away is not always on the move"},
		{species.FeedingPace, species.Slowness, t(species.FeedingPace) > stormPace && t(species.Slowness) > slowSlowness,
			"a fish that cannot get away does not storm its food"},
		{species.FeedingPace, species.Activity, t(species.FeedingPace) < pickyPace && t(species.Activity) > busyActivity,
			"a fish always on the move does not pick at its food"},
	} {
		if clash.wrong && e.s.Traits[clash.field].Known() && e.s.Traits[clash.with].Known() {
			e.review("trait "+clash.field.String(), "%s with %s %s: %s", entry.FormatNumber(t(clash.field)), clash.with, entry.FormatNumber(t(clash.with)), clash.why)
		}
	}
}
