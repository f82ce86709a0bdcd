package species

// Trait names one measured or graded property of a species. The order is the
// order of the catalogue text, of the API and of the tables.
type Trait uint8

// The traits. What each means, its unit and its legal range stand in [Info];
// the catalogue text uses the key given there.
const (
	Length Trait = iota
	DepthRatio
	GrowthK
	Lifespan
	Maturity
	Gape
	PreyLimit
	Piscivory
	AggressionOthers
	AggressionOwn
	AggressionAlike
	Territory
	FinNipping
	Timidity
	LongFins
	Slowness
	Armour
	GroupMin
	FemalesPerMale
	BroodGuarding
	TankLength
	TankWidth
	TankHeight
	Activity
	Digging
	PlantEating
	Jumping
	FeedingPace
	AnimalFood
	Flow
	Claws

	// NumTraits is the number of traits, not a trait.
	NumTraits = int(Claws) + 1
)

// Unit is the unit a trait is stated in. Grades are judgements on a scale from
// 0 to 1 whose ends are described in [TraitInfo.Meaning].
type Unit string

// The units of traits.
const (
	Centimetre Unit = "cm"
	Year       Unit = "year"
	PerYear    Unit = "1/year"
	Month      Unit = "month"
	ShareOf    Unit = "share" // a ratio of two lengths or masses
	Grade      Unit = "grade" // a graded judgement, 0 to 1
	Fish       Unit = "fish"  // a head count
	Ratio      Unit = "ratio" // a ratio of head counts
)

// TraitInfo describes one trait: its key in the catalogue text and the API, its
// unit, the range outside which a value is certainly a slip, and its meaning.
type TraitInfo struct {
	Key      string
	Unit     Unit
	Min, Max float64
	// Required traits must be present in every entry of the built-in catalogue.
	// An absent one is still legal in memory: the model then widens its band
	// and names the trait as missing.
	Required bool
	// Sexed traits may differ between males and females.
	Sexed   bool
	Meaning string
}

var traitInfo = [NumTraits]TraitInfo{
	Length:           {"length", Centimetre, 0.8, 400, true, true, "adult total length, without thread-like fin or tail filaments; of a snail the shell, of a crab the width of the carapace"},
	DepthRatio:       {"depth_ratio", ShareOf, 0.02, 1.3, true, true, "greatest body depth without fins, as a share of total length"},
	GrowthK:          {"growth_k", PerYear, 0.03, 15, true, false, "von Bertalanffy growth coefficient K in good captive conditions"},
	Lifespan:         {"lifespan", Year, 0.3, 120, true, false, "years usually reached in good care"},
	Maturity:         {"maturity", Month, 0.5, 240, true, false, "age at which adults begin to breed and to claim territory"},
	Gape:             {"gape", ShareOf, 0.005, 0.4, true, false, "greatest prey body depth it can take, as a share of its own total length"},
	PreyLimit:        {"prey_limit", ShareOf, 0.02, 0.9, true, false, "prey length at which swallowing becomes doubtful, as a share of its own total length"},
	Piscivory:        {"piscivory", Grade, 0, 1, true, false, "readiness to take a live fish that fits its mouth: 0 never, 1 whenever it can"},
	AggressionOthers: {"aggression_others", Grade, 0, 1, true, true, "how hard an adult presses fish of other kinds: 0 ignores them, 1 attacks until they are gone"},
	AggressionOwn:    {"aggression_own", Grade, 0, 1, true, true, "how hard adults press their own kind in the customary group and sex ratio: 0 never, 1 to the death"},
	AggressionAlike:  {"aggression_alike", Grade, 0, 1, true, true, "how hard an adult presses congeners and fish of the same shape or colour"},
	Territory:        {"territory", Centimetre, 0, 300, true, true, "radius of the ground an adult (or pair) defends in the tank; 0 for none"},
	FinNipping:       {"fin_nipping", Grade, 0, 1, true, true, "habit of biting fins in its customary group: 0 never, 1 constantly"},
	Timidity:         {"timidity", Grade, 0, 1, true, true, "how easily it is cowed: 0 bold, 1 hides and stops feeding at any bustle"},
	LongFins:         {"long_fins", Grade, 0, 1, true, true, "how much its fins or filaments invite biting: 0 short fins, 1 veils"},
	Slowness:         {"slowness", Grade, 0, 1, true, true, "inability to get away: 0 a sprinter, 1 cannot flee"},
	Armour:           {"armour", Grade, 0, 1, true, false, "protection by bone plates, hard spines or a venomous sting: 0 none, 1 full"},
	GroupMin:         {"group_min", Fish, 1, 50, true, false, "smallest group it should be kept in; typical is the customary group"},
	FemalesPerMale:   {"females_per_male", Ratio, 0.2, 20, false, false, "customary number of females for each male; absent where sex does not matter or is not told"},
	BroodGuarding:    {"brood_guarding", Grade, 0, 1, true, false, "how fiercely a breeding pair or parent clears the ground around its brood"},
	TankLength:       {"tank_length", Centimetre, 15, 2000, true, false, "customary minimum inside tank length for the customary group of adults"},
	TankWidth:        {"tank_width", Centimetre, 10, 1000, true, false, "customary minimum inside front-to-back width for the customary group of adults"},
	TankHeight:       {"tank_height", Centimetre, 10, 400, false, false, "customary minimum height, given only where height matters more than usual"},
	Activity:         {"activity", Grade, 0, 1, true, false, "how much it swims: 0 sits still, 1 always on the move"},
	Digging:          {"digging", Grade, 0, 1, true, false, "how much it digs: 0 never, 1 moves the whole substrate"},
	PlantEating:      {"plant_eating", Grade, 0, 1, true, false, "how much it eats or uproots plants"},
	Jumping:          {"jumping", Grade, 0, 1, true, false, "how readily it leaves an open tank"},
	FeedingPace:      {"feeding_pace", Grade, 0, 1, true, false, "how fast it takes food: 0 hunts single live morsels, 1 storms the food"},
	AnimalFood:       {"animal_food", Grade, 0, 1, true, false, "share of animal matter in the diet it needs: 0 grazer, 1 pure carnivore"},
	Flow:             {"flow", Grade, 0, 1, true, false, "water movement it wants: 0 still, 1 torrent"},
	Claws:            {"claws", Grade, 0, 1, false, false, "how readily it grips resting animals with its claws: 0 never, 1 any night; absent where it has none"},
}

// Info describes the trait. It panics when t is not one of the declared traits,
// which only a programming error can cause.
func (t Trait) Info() TraitInfo { return traitInfo[t] }

// String is the trait's key, for example "aggression_own".
func (t Trait) String() string {
	if int(t) < NumTraits {
		return traitInfo[t].Key
	}
	return "unknown_trait"
}

// TraitByKey finds a trait by its catalogue key.
func TraitByKey(key string) (Trait, bool) {
	for i := range traitInfo {
		if traitInfo[i].Key == key {
			return Trait(i), true
		}
	}
	return 0, false
}
