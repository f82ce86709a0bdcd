package catalogue

import "commensal/internal/species"

// company checks the way of living against the group and the territory.
func (e entryVerifier) company() {
	group, ok := e.typical(species.GroupMin)
	if ok && e.s.Social == species.Group && group < leastShoal {
		e.fault("trait group_min", "%s is no group", formatNumber(group))
	}
	if ok && e.s.Social == species.Solitary && group > 1 {
		e.fault("trait group_min", "%s of a fish that does not share its tank with its own kind", formatNumber(group))
	}
	if ground, ok := e.typical(species.Territory); ok && e.s.Social == species.Group && ground > shoalTerritory {
		e.review("trait territory", "%s cm is much for a fish that lives in a group", formatNumber(ground))
	}
}

// levels checks where it feeds against where it stays.
func (e entryVerifier) levels() {
	if !e.s.Zones.Known() || !e.s.FeedingZones.Known() {
		return
	}
	stays, feeds := e.s.Zones.Share, e.s.FeedingZones.Share
	if feeds[species.Surface] >= feedsAbove && stays[species.Bottom] >= restsBelow {
		e.review("zones", "it feeds at the surface but stays at the bottom")
	}
	if feeds[species.Bottom] >= feedsAbove && stays[species.Surface] >= restsBelow {
		e.review("zones", "it feeds at the bottom but stays at the surface")
	}
}

// habitat checks pH against hardness.
func (e entryVerifier) habitat() {
	ph, gh := e.s.Water[species.PH], e.s.Water[species.Hardness]
	if !ph.Known() || !gh.Known() {
		return
	}
	if ph.Preferred.High <= acidPH && gh.Preferred.Low >= hardGH {
		e.review("water gh", "hard water from %s °dH, but acid up to pH %s", formatNumber(gh.Preferred.Low), formatNumber(ph.Preferred.High))
	}
	if ph.Preferred.Low >= alkalinePH && gh.Preferred.High <= softGH {
		e.review("water gh", "soft water up to %s °dH, but alkaline from pH %s", formatNumber(gh.Preferred.High), formatNumber(ph.Preferred.Low))
	}
}
