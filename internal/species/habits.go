package species

// Hours are the hours in which an animal is awake and feeds or hunts.
type Hours string

// The hours. An animal of which they are not known has none.
const (
	ByDay      Hours = "day"
	AtTwilight Hours = "twilight" // dusk and dawn
	ByNight    Hours = "night"
	AnyHour    Hours = "any" // whenever there is food
)

// Feeding is the main way in which an animal comes by its food in the tank. The guild says
// what it eats, the way of feeding how: who hunts a fish that sleeps, who picks at skin,
// who competes for the same flake.
type Feeding string

// The ways of feeding.
const (
	GrazeAlgae   Feeding = "graze_algae"   // scrapes algae and the film on stones, wood and leaves
	RaspWood     Feeding = "rasp_wood"     // gnaws sunken wood
	BrowsePlants Feeding = "browse_plants" // crops leaves, shoots and fallen fruit
	CombDetritus Feeding = "comb_detritus" // picks through mulm, dead leaves and leftovers
	FilterWater  Feeding = "filter"        // sieves drifting particles out of the water
	SiftGround   Feeding = "sift"          // takes up mouthfuls of ground and sorts them
	ProbeGround  Feeding = "probe"         // searches the ground and cracks with snout or barbels for small animals
	PickAtFood   Feeding = "pick"          // takes small bites in the water, from plants and ground as they come
	PickPlankton Feeding = "pick_plankton" // picks tiny drifting animals out of the water
	PickSurface  Feeding = "pick_surface"  // takes insects and small animals at the surface
	CrushShells  Feeding = "crush_shells"  // cracks snails, mussels and crustaceans
	BitePieces   Feeding = "bite_pieces"   // bites pieces out of other fishes: scales, fins, flesh
	SeizePrey    Feeding = "seize"         // swims about and seizes what comes near and fits the mouth
	AmbushPrey   Feeding = "ambush"        // lies or hangs still, then strikes at whole prey
	ChasePrey    Feeding = "chase"         // runs prey down in open water
	Prowl        Feeding = "prowl"         // searches by smell and feeler, takes resting animals that fit the mouth
	Scavenge     Feeding = "scavenge"      // takes what lies about, dead or too weak to get away
)

// Availability is how usual an animal is in the trade.
type Availability string

// How usual an animal is.
const (
	EveryShop  Availability = "every_shop"
	ManyShops  Availability = "many_shops"
	Specialist Availability = "specialist" // shops with a focus, or to order
	RareSeller Availability = "rare"       // seldom imported, or between keepers only
)
