package catalogue

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
	shortestLife       = 0.4  // of A95; below it growth or lifespan is wrong
	longestLife        = 25.0 // of A95; above it, one of the two deserves a look

	monthsPerYear = 12.0
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

	// A fish that swims needs room for two body lengths to turn and start; below one
	// and a half even a resting fish lies against the glass.
	tankLengths, leastTankLengths = 2.0, 1.5
	// restingActivity and below is a fish that lies or hangs still by day.
	restingActivity = 0.2

	// leastShoal is the fewest fish that keep each other company.
	leastShoal = 3
	// shoalTerritory in cm is more ground than a fish that lives in a shoal defends.
	shoalTerritory = 20.0

	// feedsAbove is the share of feeding at one end of the tank that makes a
	// specialist of it, restsBelow the share of time at the other end that then
	// looks like a slip.
	feedsAbove, restsBelow = 0.6, 0.5

	// Water is seldom acid and hard, or alkaline and soft, at once: both carbonates
	// raise hardness and pH.
	acidPH, hardGH     = 6.5, 10.0
	alkalinePH, softGH = 7.8, 5.0

	// zoneTolerance is the rounding that the sum of three shares may carry.
	zoneTolerance = 1e-9
)
