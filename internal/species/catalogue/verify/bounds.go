package verify

import "commensal/internal/species"

// The bounds of the checks. Unless a source is named they are common practice
// without a source: wide enough for every ordinary aquarium fish, so that what lies
// outside is a slip or deserves a look.

// depthBounds are the depth ratios that go with each body form. Neighbouring forms
// overlap, because a form is a judgement and a ratio is a measurement.
var depthBounds = map[species.BodyForm]species.Range{
	species.EelLike:   {Low: 0.02, High: 0.16},
	species.Elongated: {Low: 0.08, High: 0.26},
	species.Fusiform:  {Low: 0.16, High: 0.38},
	species.ShortDeep: {Low: 0.28, High: 1.3},

	species.ShrimpForm:   {Low: 0.12, High: 0.3},
	species.CrayfishForm: {Low: 0.12, High: 0.3},
	species.CrabForm:     {Low: 0.3, High: 0.8},
	species.SnailForm:    {Low: 0.25, High: 1},
	species.ClamForm:     {Low: 0.3, High: 1},
}

const (
	// longevityNumerator over K is the age at 95 % of the final length, A95 ≈ 3/K
	// with t0 near 0 (Taylor 1958, J. Cons. int. Explor. Mer 23:366-370). It reads
	// wild populations; a fish in care may live many times longer, so only a life
	// much shorter than its growth takes is an error.
	longevityNumerator = 3.0
	shortestLife       = 0.4 // of A95; below it growth or lifespan is wrong
	stuntedLife        = 1.0 // of A95; below it the fish dies before it is grown
	longestLife        = 8.0 // of A95; above it, one of the two deserves a look

	monthsPerYear = 12.0
	// Fish first breed at two to nine tenths of their final length: the ratio of the
	// two is one of the constants that hold across species (Beverton 1992, J. Fish
	// Biol. 41B:137-160). A little more room is left at both ends.
	leastMatureShare, mostMatureShare = 0.35, 0.95
	// lateMaturity is the share of its life after which hardly any fish first breeds.
	lateMaturity = 0.6

	// lengthSpread is the ratio of high to low length beyond which the band no
	// longer says how large the fish grows.
	lengthSpread = 3.0
	// sexMeanShare is how far the mean of male and female length may lie from the
	// length of the entry, as a share of the latter.
	sexMeanShare = 0.15

	// keenPiscivore takes fish as its habit; one that swallows nothing longer than
	// keenPreyLimit of itself would not get far.
	keenPiscivore, keenPreyLimit = 0.8, 0.25
	// grazerPreyLimit is above the mouth of any fish that lives on growth, wood film
	// or plants.
	grazerPreyLimit = 0.2

	// The greatest depth of prey is a share of the greatest length of prey, because
	// prey has a shape: eels and young catfish at the one end, discs at the other.
	leastPreyDepth, mostPreyDepth = 0.15, 0.8
	// widestGape of its own body depth is what a fish opens its mouth to.
	widestGape = 1.2

	// eatsAnimals and up is the diet of a guild that lives on animals, eatsPlants and
	// below that of one that does not.
	eatsAnimals, eatsPlants = 0.5, 0.6
	// A piscivore takes fish more readily than leastPiscivory, a grazer less than
	// mostGrazerPiscivory; what lives on plants eats those in the tank too.
	leastPiscivory, mostGrazerPiscivory, leastPlantEating = 0.7, 0.5, 0.3

	// A fish that ambushes or chases whole prey lives on fish; one that seizes what comes
	// near, or noses over the ground for it, takes at least those that fit.
	leastHunting, leastSeizing, leastProwling = 0.5, 0.35, 0.25
	// leastFeedingThere is the share of feeding at the level that a way of feeding is
	// named after.
	leastFeedingThere = 0.3

	// A fish that swims needs room for two body lengths to turn and start; below one
	// and a half even a resting fish lies against the glass.
	tankLengths, leastTankLengths = 2.0, 1.5
	// restingActivity and below is a fish that lies or hangs still by day.
	restingActivity = 0.2

	// The customary tank grows more slowly than the fish: its length in cm over the
	// 0.7th power of the adult length in cm is 10 to 33 for nearly every fish. A
	// length in inches among centimetres falls out of this at one end or the other.
	tankPower                          = 0.7
	leastTankForSize, mostTankForSize  = 9.5, 34.0
	leastTankWidths                    = 0.9  // of the adult length, to turn around
	slimmestTank                       = 0.25 // width over length
	tirelessActivity, tirelessTankSize = 0.8, 4.0

	// leastShoal is the fewest fish that keep each other company.
	leastShoal = 3
	// shoalTerritory in cm is more ground than a fish that lives in a shoal defends,
	// unless pairs leave the shoal to guard a brood as fiercely as shoalGuarding.
	shoalTerritory, shoalGuarding = 20.0, 0.3

	// largestPair is the most of a fish that lives in pairs.
	largestPair = 4
	// milder by this much towards its own kind than towards others is rare, as is
	// fiercer by this much towards look-alikes than towards its own kind.
	milderToOwn, fiercerToAlike = 0.3, 0.2
	// A fish that presses others as hard as boldAggression is not as timid as
	// cowedTimidity; one that defends openGround in cm presses somebody.
	boldAggression, cowedTimidity, openGround, gentle = 0.4, 0.6, 20.0, 0.1
	// guardsMore than it presses others by this much, hardly any parent does.
	guardsMore = 0.6
	// A fish that cannot get away (slow) is not always on the move (busy), and does
	// not storm its food; one always on the move does not pick at it (picky).
	slowSlowness, busyActivity, stormPace, pickyPace = 0.6, 0.7, 0.7, 0.3
	// nearSpines of sharp spines protect at least this much.
	nearSpines = 0.1
	// outgrowsFrom and outgrowsAlways in cm: below, no fish outgrows nearly every home
	// tank; above, every one does.
	outgrowsFrom, outgrowsAlways = 15.0, 45.0
	// shortLife in years is not called short any more; below briefLife it must be.
	shortLife, briefLife = 4.0, 1.2

	// feedsAbove is the share of feeding at one end of the tank that makes a
	// specialist of it, restsBelow the share of time at the other end that then
	// looks like a slip.
	feedsAbove, restsBelow = 0.6, 0.5

	// Water is seldom acid and hard, or alkaline and soft, at once: both carbonates
	// raise hardness and pH.
	acidPH, hardGH     = 6.5, 10.0
	alkalinePH, softGH = 7.8, 5.0
	// A range that reaches that far the wrong way looks as odd, if it begins in clearly
	// acid or alkaline water.
	hardestAcidGH, mildAlkalinePH, softestAlkalineGH = 15.0, 7.5, 4.0
	// freshSalinity in ppt and below is fresh water; a fish that needs brackish water
	// stays well above leastBrackish for years.
	freshSalinity, leastBrackish = 0.9, 2.0
	// warmWater in °C and up cannot be had without a heater in most homes, coolWater
	// and below needs none.
	warmWater, coolWater = 24.0, 20.0
	// stillFlow and strongFlow are where still water ends and a strong current begins.
	stillFlow, strongFlow = 0.4, 0.5
	// plantEater and up leaves no plants.
	plantEater = 0.7
	// widestTemperature in K is tolerated by the hardiest fish of ponds and pools.
	widestTemperature = 30.0

	// A fish feeds where it stays: the overlap of the two (Schoener 1970, Ecology
	// 51:408-418) is seldom below this.
	leastZoneOverlap = 0.4

	// zoneTolerance is the rounding that the sum of three shares may carry.
	zoneTolerance = 1e-9
)
