package conflict

// The fixed constants of the model. Unless a line names a publication they are
// common practice, no source. The free ones are in weights.go.

const (
	// swallowSteepness is the exponent of the Hill curve 1/(1+x^k) that turns
	// x = size ÷ limit into the chance that prey is taken; higher is nearer a
	// step. With 6 the chance falls from 0.9 to 0.1 between 0.69 and 1.44 times
	// the limit, about the spread between the median and the largest prey in
	// Gaeta et al. 2018, PLoS ONE 13(3):e0194092, and later records to 0.59
	// and 0.73 of predator length.
	swallowSteepness = 6.0

	// biteTolerance is the product of fish-eating and biting habits up to which a fish
	// does not live on pieces of others.
	biteTolerance = 0.15

	// shockHazard is the hazard of a strong electric organ for any tank mate: such a
	// fish is kept alone.
	shockHazard = 1.5

	// armourDeters is the share of predation that full armour prevents. Not all:
	// predators choke on armoured catfish.
	armourDeters = 0.75
	// armourShields is the share of harassment that full armour takes.
	armourShields = 0.85

	// timidShare and slowShare split what makes a fish easy to harass.
	timidShare = 0.7
	slowShare  = 0.3

	// finsInvite and slowInvites split what makes a fish worth nipping.
	finsInvite  = 0.65
	slowInvites = 0.35

	// loneNipperGain is how much harder nippers (and bullies of a shoal) bite when
	// the group is wholly missing: 1 doubles the hazard of one alone.
	loneNipperGain = 1.0

	// Likeness of two fish in each other's eyes, 1 being their own kind.
	likeCongener   = 0.75 // same genus
	likeSameShape  = 0.40 // same family and outline
	likeShapeOnly  = 0.25 // same outline, another family
	likeColourGain = 0.20 // added in proportion to shared colours where the outline is shared

	// crowdedAt is the ratio of defended ground to floor at which room neither
	// adds nor removes: territories customarily overlap the minimum tank twice.
	crowdedAt = 2.0
	// crowdOffset keeps the crowding ratio tame for fish without territory.
	crowdOffset = 0.5
	// personalSpace is the radius, in own lengths, that even a fish without a
	// territory keeps around itself.
	personalSpace = 0.5
	// roomFloor and roomCeiling bound the room multiplier.
	roomFloor, roomCeiling = 0.3, 2.5
	// coverEffect is the exponent by which cover calms: full instead of normal
	// cover more than halves aggression, none more than doubles it: e^(∓0.9).
	coverEffect = 1.8
	// NormalCover is the cover of a normally furnished tank, 0 to 1.
	NormalCover = 0.5

	// crampedHazard is the hazard, for each doubling of what is needed over what
	// there is, of a tank below the customary minimum.
	crampedHazard = 0.9

	// fairShare is the share of the food, between two, on which any keeper brings the
	// slower one through.
	fairShare = 0.42
	// leisurely is the pace of feeding up to which a fish leaves some for all, brisk that from
	// which it leaves what it cannot find.
	leisurely, brisk = 0.3, 0.5
	// unshyShort is the share of going short that a bold, quick feeder feels.
	unshyShort = 0.6
	// tableSteepness is the slope of the advantage at the table over ln(length ratio), and
	// tableEdge what numbers give on that scale: a shoal of smaller fish empties it too.
	tableSteepness, tableEdge = 1.5, 0.7
	// dietTolerance is the gap in the animal share of the diet that mixed feeding bridges.
	dietTolerance = 0.5

	// zoneUncertainty is the error of a catalogued zone overlap, as a share.
	zoneUncertainty = 0.1
	// unknownMeeting is the overlap taken where zone use is not recorded; the band
	// then runs from never to always.
	unknownMeeting = 0.7

	// maleGain is how much harder males fight each other where a keeper says that the
	// fish are males, and their kind lives in pairs, in harems or alone.
	maleGain = 0.6
	// mistakenGain is the share of the hazard of rivalry when one that fights its own kind to
	// the death by showing its fins meets other fins as large, and takes them for
	// a challenge.
	mistakenGain = 0.6
	// guardPower is the exponent on the grade of brood guarding: half-hearted parents
	// threaten, fierce ones batter.
	guardPower = 2.0
	// shoalSpreads is the share of the pressure on a fish that a full-sized shoal takes off it.
	shoalSpreads = 0.25
	// furyFrom is the grade of aggression from which a fish does not let go: at full fury
	// furyCows of the nerve and furyPierces of the armour of the other no longer
	// help it. Such fish wound what they cannot swallow.
	furyFrom              = 0.55
	furyCows, furyPierces = 0.6, 0.5
	// jawsLength is the length in cm from which such a fish has the jaws for it.
	jawsLength = 15.0

	// apartGain is how much worse water is, at its limit, where neither fish can have what
	// it prefers than where one of them is off by as much.
	apartGain = 7.0
	// apartFrom is the stress that both bear for good without harm.
	apartFrom = 0.2
	// outsideHazard is the hazard of each scale unit (3 °C, 0.8 pH, 6 °dH, 4 ppt) beyond
	// what a fish tolerates.
	outsideHazard = 1.0

	// equalLength is the |ln(length ratio)| under which words call two fish equals.
	equalLength = 0.15
)

// Water scales: how far beyond the tolerated edge counts as one more unit of
// stress, and how uncertain a catalogued edge is.
var (
	waterScale = [4]float64{3, 0.8, 6, 4}       // °C, pH, °dH, ppt
	waterEdge  = [4]float64{0.5, 0.1, 0.5, 0.2} // °C, pH, °dH, ppt
	// waterSwing is how far an ordinary home tank drifts from its mean between
	// checks, either way; a range is only comfortable that far inside its edges, so two
	// preferred ranges that merely touch leave no comfort. Salt is weighed out: no swing.
	waterSwing = [4]float64{0.25, 0.1, 1, 0}
	// minMargin is the least width given to the strip between the preferred and
	// the tolerated edge, so that a strip of no width is not a cliff.
	minMargin = [4]float64{0.5, 0.1, 0.5, 0.25}
)
