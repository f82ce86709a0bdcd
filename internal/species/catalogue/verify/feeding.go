package verify

import (
	"slices"

	"commensal/internal/species"
)

// hunting are the ways of feeding that take whole animals, with the least piscivory that a
// fish shows which feeds so.
var hunting = map[species.Feeding]float64{
	species.AmbushPrey: leastHunting, species.ChasePrey: leastHunting,
	species.SeizePrey: leastSeizing, species.Prowl: leastProwling,
}

// tearing are those that need meat without needing whole fish.
var tearing = []species.Feeding{species.CrushShells, species.BitePieces}

// grazing are those that live on what does not move.
var grazing = []species.Feeding{
	species.GrazeAlgae, species.RaspWood, species.BrowsePlants, species.CombDetritus, species.FilterWater,
}

// onTheGround are those for which an animal must be down.
var onTheGround = []species.Feeding{species.SiftGround, species.ProbeGround, species.Prowl, species.Scavenge}

// feeding compares the way of feeding with the diet, the mouth and the levels. Where the
// guild is at odds with the same value, [entryVerifier.diet] says so, and nothing is said twice.
func (e entryVerifier) feeding() {
	way := e.s.FeedsBy
	if way == "" {
		return
	}
	e.hunter(way)
	e.meat(way)
	if filters := e.s.Guild == species.FilterFeeder; filters != (way == species.FilterWater) {
		e.review("feeds_by", "%s does not go with %s", way, e.s.Guild)
	}
	e.feedingLevel(way)
}

// hunter compares a way of hunting with the fish that it takes.
func (e entryVerifier) hunter(way species.Feeding) {
	piscivory, ok := e.typical(species.Piscivory)
	if !ok {
		return
	}
	if least, hunts := hunting[way]; hunts && e.isFish() && e.s.Guild != species.Piscivore && piscivory < least {
		e.review("feeds_by", "a piscivory of %.2g is little for a fish that feeds by %s", piscivory, way)
	}
	if slices.Contains(grazing, way) && !slices.Contains(grazerGuilds, e.s.Guild) && piscivory > mostGrazerPiscivory {
		e.review("feeds_by", "a piscivory of %.2g is much for one that feeds by %s", piscivory, way)
	}
}

// meat compares the way of feeding with the share of animal food.
func (e entryVerifier) meat(way species.Feeding) {
	food, ok := e.typical(species.AnimalFood)
	if !ok {
		return
	}
	_, hunts := hunting[way]
	switch {
	case (hunts || slices.Contains(tearing, way)) && !slices.Contains(animalGuilds, e.s.Guild) && food < eatsAnimals:
		e.review("feeds_by", "animal food of %.2g is little for one that feeds by %s", food, way)
	case slices.Contains(grazing, way) && !slices.Contains(grazerGuilds, e.s.Guild) && food > eatsPlants:
		e.review("feeds_by", "animal food of %.2g is much for one that feeds by %s", food, way)
	}
}

// feedingLevel compares the way of feeding with the level at which it happens.
func (e entryVerifier) feedingLevel(way species.Feeding) {
	if !e.s.FeedingZones.Known() {
		return
	}
	share := e.s.FeedingZones.Share
	switch {
	case way == species.PickSurface && share[species.Surface] < leastFeedingThere:
		e.review("feeds_by", "%.0f %% of its feeding at the surface is little for %s", 100*share[species.Surface], way)
	case slices.Contains(onTheGround, way) && share[species.Bottom] < leastFeedingThere:
		e.review("feeds_by", "%.0f %% of its feeding at the bottom is little for %s", 100*share[species.Bottom], way)
	}
}
