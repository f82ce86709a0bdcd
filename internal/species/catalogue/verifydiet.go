package catalogue

import (
	"slices"

	"commensal/internal/species"
)

// The guilds that live on animals, and those that do not.
var (
	animalGuilds = []species.Guild{species.Piscivore, species.Predator, species.Invertivore, species.Planktivore,
		species.FinScaleEat, species.Molluscivore}
	grazerGuilds = []species.Guild{species.AlgaeGrazer, species.Herbivore, species.Detritivore}
)

// mouth checks what it eats against what it can swallow.
func (e entryVerifier) mouth() {
	limit, ok := e.typical(species.PreyLimit)
	if !ok {
		return
	}
	keen, ok := e.typical(species.Piscivory)
	switch {
	case ok && keen >= keenPiscivore && limit < keenPreyLimit:
		e.review("trait prey_limit", "%s is small for piscivory %s", formatNumber(limit), formatNumber(keen))
	case slices.Contains(grazerGuilds, e.s.Guild) && limit > grazerPreyLimit:
		e.review("trait prey_limit", "%s is large for %s", formatNumber(limit), e.s.Guild)
	default:
		e.gape(limit)
	}
}

// gape checks the mouth of a fish against its prey and its own body.
func (e entryVerifier) gape(limit float64) {
	gape, ok := e.typical(species.Gape)
	if !ok || !e.isFish() {
		return
	}
	if limit > 0 && (gape < leastPreyDepth*limit || gape > mostPreyDepth*limit) {
		e.review("trait gape", "%s and a prey length of %s make prey of the shape %.2g: %s to %s is expected", formatNumber(gape),
			formatNumber(limit), gape/limit, formatNumber(leastPreyDepth), formatNumber(mostPreyDepth))
	}
	if depth, ok := e.typical(species.DepthRatio); ok && gape > widestGape*depth {
		e.review("trait gape", "%s is wider than its own body of %s", formatNumber(gape), formatNumber(depth))
	}
}

// diet checks the guild against what it takes.
func (e entryVerifier) diet() {
	onAnimals, grazes := slices.Contains(animalGuilds, e.s.Guild), slices.Contains(grazerGuilds, e.s.Guild)
	if share, ok := e.typical(species.AnimalFood); ok && (onAnimals && share < eatsAnimals || grazes && share > eatsPlants) {
		e.review("trait animal_food", "%s does not go with %s", formatNumber(share), e.s.Guild)
	}
	if keen, ok := e.typical(species.Piscivory); ok &&
		(e.s.Guild == species.Piscivore && keen < leastPiscivory || grazes && keen > mostGrazerPiscivory) {
		e.review("trait piscivory", "%s does not go with %s", formatNumber(keen), e.s.Guild)
	}
	if plants, ok := e.typical(species.PlantEating); ok && e.s.Guild == species.Herbivore && plants < leastPlantEating {
		e.review("trait plant_eating", "%s is little for a herbivore", formatNumber(plants))
	}
}
