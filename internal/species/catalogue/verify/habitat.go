package verify

import (
	"slices"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/entry"
)

// habitat checks the water against itself and against what is said of it.
func (e entryVerifier) habitat() {
	e.hardness()
	e.salt()
	e.warmth()
	e.wants()
}

// hardness checks hardness against pH.
func (e entryVerifier) hardness() {
	ph, gh := e.s.Water[species.PH], e.s.Water[species.Hardness]
	if !ph.Known() || !gh.Known() {
		return
	}
	acid, alkaline := ph.Preferred.High, ph.Preferred.Low
	low, high := gh.Preferred.Low, gh.Preferred.High
	switch {
	case acid <= acidPH && low >= hardGH:
		e.review("water gh", "hard water from %s °dH, but acid up to pH %s", entry.FormatNumber(low), entry.FormatNumber(acid))
	case acid <= acidPH && high > hardestAcidGH:
		e.review("water gh", "water as hard as %s °dH, but acid up to pH %s", entry.FormatNumber(high), entry.FormatNumber(acid))
	case alkaline >= alkalinePH && high <= softGH:
		e.review("water gh", "soft water up to %s °dH, but alkaline from pH %s", entry.FormatNumber(high), entry.FormatNumber(alkaline))
	case alkaline >= mildAlkalinePH && low < softestAlkalineGH:
		e.review("water gh", "water as soft as %s °dH, but alkaline from pH %s", entry.FormatNumber(low), entry.FormatNumber(alkaline))
	}
}

// salt checks salinity against the caution that tells of it.
func (e entryVerifier) salt() {
	salinity := e.s.Water[species.Salinity]
	if !salinity.Known() {
		return
	}
	switch said := slices.Contains(e.s.Cautions, species.SaltOverTime); {
	case said && salinity.Tolerated.High < leastBrackish:
		e.fault("water salinity", "it needs brackish water, but tolerates %s ppt at most", entry.FormatNumber(salinity.Tolerated.High))
	case said && salinity.Preferred.High <= freshSalinity:
		e.review("water salinity", "it needs brackish water, but prefers up to %s ppt", entry.FormatNumber(salinity.Preferred.High))
	case !said && salinity.Preferred.Low > freshSalinity:
		e.review("water salinity", "it prefers %s ppt and more, but needs_brackish is not among its cautions", entry.FormatNumber(salinity.Preferred.Low))
	}
}

// warmth checks temperature against the heater.
func (e entryVerifier) warmth() {
	w := e.s.Water[species.Temperature]
	heater, unheated := e.needs("heater"), e.needs("unheated")
	switch {
	case heater && unheated:
		e.fault("needs", "heater and unheated exclude each other")
	case w.Known() && unheated && w.Preferred.Low >= warmWater:
		e.review("needs", "unheated, but it prefers %s °C and more", entry.FormatNumber(w.Preferred.Low))
	case w.Known() && heater && w.Preferred.High <= coolWater:
		e.review("needs", "heater, but it prefers %s °C at most", entry.FormatNumber(w.Preferred.High))
	}
	if span := w.Tolerated.High - w.Tolerated.Low; w.Known() && span > widestTemperature && w.Tolerated.High <= species.Temperature.Info().Max {
		e.review("water temperature", "no fish stays well over a span of %s °C", entry.FormatNumber(span))
	}
}

// wants checks what it needs against its traits.
func (e entryVerifier) wants() {
	flow, known := e.typical(species.Flow)
	still, strong := e.needs("still_water"), e.needs("strong_current")
	switch {
	case still && strong:
		e.fault("needs", "still_water and strong_current exclude each other")
	case known && still && flow > stillFlow, known && strong && flow < strongFlow:
		e.review("trait flow", "%s does not go with the current it needs", entry.FormatNumber(flow))
	}
	if eats, ok := e.typical(species.PlantEating); ok && e.needs("plants") && eats >= plantEater {
		e.review("trait plant_eating", "%s of a fish that needs plants", entry.FormatNumber(eats))
	}
}

func (e entryVerifier) needs(word string) bool { return slices.Contains(e.s.Needs, word) }
