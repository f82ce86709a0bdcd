package verify

import (
	"slices"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/entry"
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
		e.review("trait prey_limit", "%s is small for piscivory %s", entry.FormatNumber(limit), entry.FormatNumber(keen))
	case slices.Contains(grazerGuilds, e.s.Guild) && limit > grazerPreyLimit:
		e.review("trait prey_limit", "%s is large for %s", entry.FormatNumber(limit), e.s.Guild)
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
		e.review("trait gape", "%s and a prey length of %s make prey of the shape %.2g: %s to %s is expected", entry.FormatNumber(gape),
			entry.FormatNumber(limit), gape/limit, entry.FormatNumber(leastPreyDepth), entry.FormatNumber(mostPreyDepth))
	}
	if depth, ok := e.typical(species.DepthRatio); ok && gape > widestGape*depth {
		e.review("trait gape", "%s is wider than its own body of %s", entry.FormatNumber(gape), entry.FormatNumber(depth))
	}
}

// diet checks the guild against what it takes.
func (e entryVerifier) diet() {
	onAnimals, grazes := slices.Contains(animalGuilds, e.s.Guild), slices.Contains(grazerGuilds, e.s.Guild)
	if share, ok := e.typical(species.AnimalFood); ok && (onAnimals && share < eatsAnimals || grazes && share > eatsPlants) {
		e.review("trait animal_food", "%s does not go with %s", entry.FormatNumber(share), e.s.Guild)
	}
	if keen, ok := e.typical(species.Piscivory); ok &&
		(e.s.Guild == species.Piscivore && keen < leastPiscivory || grazes && keen > mostGrazerPiscivory) {
		e.review("trait piscivory", "%s does not go with %s", entry.FormatNumber(keen), e.s.Guild)
	}
	if plants, ok := e.typical(species.PlantEating); ok && e.s.Guild == species.Herbivore && plants < leastPlantEating {
		e.review("trait plant_eating", "%s is little for a herbivore", entry.FormatNumber(plants))
	}
}
