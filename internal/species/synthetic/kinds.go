package synthetic

import "commensal/internal/species"

// span is a range to draw from.
type span struct{ low, high float64 }

// kind is a kind of fish. Grades that a kind does not name are drawn from [mild].
type kind struct {
	noun, german, family, shape string
	form                        species.BodyForm
	guild                       species.Guild
	feeds                       species.Feeding
	active                      species.Hours
	social                      species.Social
	sexed                       bool
	zones                       [species.NumZones]float64
	length, depth, gape, prey   span // length in cm, the others as shares
	group                       span
	ground                      span // territory radius in cm
	grades                      map[species.Trait]span
}

// mild are the grades of a fish without vices.
var mild = map[species.Trait]span{
	species.Piscivory: {0, 0.15}, species.AggressionOthers: {0, 0.1}, species.AggressionOwn: {0.02, 0.15},
	species.AggressionAlike: {0.02, 0.1}, species.FinNipping: {0, 0.2}, species.Timidity: {0.2, 0.6},
	species.LongFins: {0, 0.3}, species.Slowness: {0.05, 0.4}, species.Armour: {0, 0.15},
	species.BroodGuarding: {0, 0.1}, species.Activity: {0.4, 0.85}, species.Digging: {0, 0.1},
	species.PlantEating: {0, 0.15}, species.Jumping: {0, 0.4}, species.FeedingPace: {0.4, 0.8},
	species.AnimalFood: {0.4, 0.8}, species.Flow: {0.1, 0.6},
}

var kinds = []kind{
	{
		noun: "shoaler", german: "schwärmer", family: "Parvidae", shape: "torpedo",
		form: species.Fusiform, guild: species.Omnivore, feeds: species.PickAtFood, active: species.ByDay, social: species.Group, zones: [3]float64{0.2, 0.6, 0.2},
		length: span{2.5, 7}, depth: span{0.2, 0.34}, gape: span{0.03, 0.06}, prey: span{0.09, 0.16}, group: span{6, 10},
	},
	{
		noun: "nipper", german: "zupfer", family: "Mordacidae", shape: "barb",
		form: species.ShortDeep, guild: species.Omnivore, feeds: species.PickAtFood, active: species.ByDay, social: species.Group, zones: [3]float64{0.15, 0.65, 0.2},
		length: span{5, 12}, depth: span{0.34, 0.5}, gape: span{0.04, 0.07}, prey: span{0.1, 0.18}, group: span{6, 10},
		grades: map[species.Trait]span{species.FinNipping: {0.4, 0.9}, species.Timidity: {0, 0.2}, species.AggressionOwn: {0.1, 0.3}},
	},
	{
		noun: "finback", german: "fächler", family: "Velatidae", shape: "livebearer",
		form: species.Elongated, guild: species.Omnivore, feeds: species.PickAtFood, active: species.ByDay, social: species.Harem, sexed: true, zones: [3]float64{0.5, 0.4, 0.1},
		length: span{3, 9}, depth: span{0.16, 0.25}, gape: span{0.03, 0.06}, prey: span{0.08, 0.14}, group: span{3, 5},
		grades: map[species.Trait]span{species.LongFins: {0.3, 0.95}, species.Slowness: {0.3, 0.6}},
	},
	{
		noun: "warden", german: "wächter", family: "Custodidae", shape: "cichlid",
		form: species.ShortDeep, guild: species.Invertivore, feeds: species.PickAtFood, active: species.ByDay, social: species.Pair, sexed: true, zones: [3]float64{0.05, 0.35, 0.6},
		length: span{6, 30}, depth: span{0.32, 0.5}, gape: span{0.07, 0.12}, prey: span{0.2, 0.32}, group: span{1, 2}, ground: span{25, 80},
		grades: map[species.Trait]span{
			species.AggressionOthers: {0.3, 0.65}, species.AggressionOwn: {0.4, 0.85}, species.AggressionAlike: {0.3, 0.55},
			species.Piscivory: {0.3, 0.7}, species.BroodGuarding: {0.4, 0.85}, species.Digging: {0.3, 0.8}, species.Timidity: {0, 0.3}, species.AnimalFood: {0.6, 0.8},
		},
	},
	{
		noun: "lurker", german: "lauerer", family: "Insidiidae", shape: "pike",
		form: species.Elongated, guild: species.Piscivore, feeds: species.AmbushPrey, active: species.AtTwilight, social: species.Single, zones: [3]float64{0.3, 0.5, 0.2},
		length: span{18, 90}, depth: span{0.2, 0.25}, gape: span{0.14, 0.2}, prey: span{0.35, 0.55}, group: span{1, 1}, ground: span{30, 90},
		grades: map[species.Trait]span{
			species.Piscivory: {0.85, 1}, species.AggressionOthers: {0.2, 0.6}, species.AggressionOwn: {0.4, 0.7},
			species.AggressionAlike: {0.3, 0.55}, species.Timidity: {0, 0.3}, species.AnimalFood: {0.9, 1}, species.Activity: {0.1, 0.4},
		},
	},
	{
		noun: "plateback", german: "panzerling", family: "Loricidae", shape: "sucker_catfish",
		form: species.Elongated, guild: species.AlgaeGrazer, feeds: species.GrazeAlgae, active: species.ByNight, social: species.Single, zones: [3]float64{0, 0.2, 0.8},
		length: span{4, 40}, depth: span{0.12, 0.22}, gape: span{0.02, 0.035}, prey: span{0.05, 0.09}, group: span{1, 2}, ground: span{5, 30},
		grades: map[species.Trait]span{
			species.Armour: {0.6, 0.9}, species.Piscivory: {0, 0.05}, species.Activity: {0.1, 0.3}, species.AnimalFood: {0.1, 0.4},
			species.AggressionOwn: {0.2, 0.5}, species.FeedingPace: {0.2, 0.4},
		},
	},
	{
		noun: "hermit", german: "einsiedler", family: "Solidae", shape: "shark",
		form: species.Fusiform, guild: species.Detritivore, feeds: species.CombDetritus, active: species.AnyHour, social: species.Solitary, zones: [3]float64{0.1, 0.4, 0.5},
		length: span{8, 20}, depth: span{0.18, 0.28}, gape: span{0.03, 0.06}, prey: span{0.08, 0.15}, group: span{1, 1}, ground: span{30, 60},
		grades: map[species.Trait]span{species.AggressionOwn: {0.8, 1}, species.AggressionAlike: {0.6, 0.9}, species.AggressionOthers: {0.3, 0.6}, species.AnimalFood: {0.1, 0.4}},
	},
	{
		noun: "threadling", german: "fädler", family: "Tenuidae", shape: "eel",
		form: species.EelLike, guild: species.Invertivore, feeds: species.SiftGround, active: species.ByNight, social: species.Group, zones: [3]float64{0, 0.1, 0.9},
		length: span{6, 25}, depth: span{0.07, 0.14}, gape: span{0.02, 0.05}, prey: span{0.07, 0.1}, group: span{3, 6},
		grades: map[species.Trait]span{species.Timidity: {0.5, 0.85}, species.FeedingPace: {0.2, 0.4}, species.Activity: {0.2, 0.6}, species.AnimalFood: {0.6, 0.8}},
	},
}

// habitat is a kind of water, each parameter as tolerated and preferred range.
type habitat [species.NumParameters]species.WaterRange

var habitats = []habitat{
	waters([4]float64{21, 24, 28, 30}, [4]float64{4.5, 5.5, 7, 7.5}, [4]float64{0, 1, 10, 15}, [4]float64{0, 0, 0, 1}),
	waters([4]float64{16, 20, 25, 28}, [4]float64{6, 6.5, 7.5, 8}, [4]float64{2, 4, 15, 20}, [4]float64{0, 0, 0, 3}),
	waters([4]float64{22, 24, 27, 29}, [4]float64{7.2, 7.8, 8.6, 9}, [4]float64{7, 10, 20, 28}, [4]float64{0, 0, 1, 5}),
	waters([4]float64{22, 24, 28, 30}, [4]float64{7, 7.5, 8.3, 8.6}, [4]float64{8, 10, 25, 35}, [4]float64{1, 3, 10, 20}),
}

func waters(ranges ...[4]float64) (h habitat) {
	for p, r := range ranges {
		h[p] = species.WaterRange{
			Tolerated: species.Range{Low: r[0], High: r[3]}, Preferred: species.Range{Low: r[1], High: r[2]}, Basis: species.Memory,
		}
	}
	return h
}

var (
	palette = []string{"silver", "gold", "orange", "red", "blue", "green", "brown", "black", "vertical_bars", "horizontal_stripes", "spots"}
	wants   = []string{"sand", "caves", "rocks", "wood", "plants", "open_water", "hiding_places", "dim_light"}
)
