package conflict

import "commensal/internal/species"

// unknownBand stands in for a trait that the catalogue lacks: low and high are
// the whole plausible range, so that the band of the answer widens; the middle is
// an ordinary aquarium fish. Every trait so treated is named in the answer
// ([Profile.Missing]). Common practice, no source.
var unknownBand = [species.NumTraits]species.Band{
	species.Length:           {Low: 2, Typical: 8, High: 40},
	species.DepthRatio:       {Low: 0.1, Typical: 0.28, High: 0.6},
	species.Gape:             {Low: 0.03, Typical: 0.07, High: 0.2},
	species.PreyLimit:        {Low: 0.08, Typical: 0.2, High: 0.5},
	species.Piscivory:        {Low: 0, Typical: 0.3, High: 1},
	species.AggressionOthers: {Low: 0, Typical: 0.25, High: 1},
	species.AggressionOwn:    {Low: 0, Typical: 0.3, High: 1},
	species.AggressionAlike:  {Low: 0, Typical: 0.25, High: 1},
	species.Territory:        {Low: 0, Typical: 15, High: 80},
	species.FinNipping:       {Low: 0, Typical: 0.1, High: 0.8},
	species.Timidity:         {Low: 0, Typical: 0.35, High: 0.9},
	species.LongFins:         {Low: 0, Typical: 0.15, High: 0.9},
	species.Slowness:         {Low: 0, Typical: 0.25, High: 0.9},
	species.Armour:           {Low: 0, Typical: 0.1, High: 0.8},
	species.GroupMin:         {Low: 1, Typical: 1, High: 6},
	species.BroodGuarding:    {Low: 0, Typical: 0.2, High: 1},
	species.TankLength:       {Low: 60, Typical: 80, High: 200},
	species.TankWidth:        {Low: 30, Typical: 35, High: 60},
	species.FeedingPace:      {Low: 0.1, Typical: 0.5, High: 0.9},
	species.AnimalFood:       {Low: 0.1, Typical: 0.6, High: 1},
	// Claws: what has none has no value.
}

// scored are the traits that the model reads, in the order in which missing ones
// are named.
var scored = []species.Trait{
	species.Length, species.DepthRatio, species.Gape, species.PreyLimit, species.Piscivory,
	species.AggressionOthers, species.AggressionOwn, species.AggressionAlike, species.Territory,
	species.FinNipping, species.Timidity, species.LongFins, species.Slowness, species.Armour,
	species.GroupMin, species.BroodGuarding, species.TankLength, species.TankWidth,
	species.FeedingPace, species.AnimalFood,
}
