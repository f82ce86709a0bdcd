package waterchem

// OxycaloricJoules is the energy in J that a fish sets free for each mg of oxygen.
//
// Source: Elliott & Davison 1975 (Oecologia 19:195-201), 13.56 J/mg, the value
// customary in fish bioenergetics models.
const OxycaloricJoules = 13.56

// FeedEnergy is the energy in J that a fish gains from each g of dry food: an
// assumption from memory, no source. Makers seldom print it.
func FeedEnergy() Estimate {
	return Estimate{Low: 12000, Typical: 14000, High: 16000}
}

// FeedingLevel is how much ornamental fish are fed, in multiples of resting
// metabolism. Low just covers quiet swimming and typical swimming in company, the
// activities of [ActivityFactor]; high is twice typical, for growing fish and
// a generous hand. That keepers feed adults about what they burn is common
// practice, no source.
func FeedingLevel() Estimate {
	return Estimate{Low: 421.0 / 364, Typical: 560.0 / 364, High: 2 * 560.0 / 364}
}

// hoursPerDay turns a rate per hour into one per day.
const hoursPerDay = 24

// FeedRation is the dry food in g/d that one fish of 0.001-1e6 g is customarily given
// in water of 0-40 °C, low to high. It rises with body mass, less than in
// proportion (small fish eat a larger share of their mass), and with temperature.
// Frozen or live food is mostly water: the same ration weighs several times more.
//
// Feeding ornamental fish at about maintenance is common practice, no source; the
// amount is derived: [RestingRate] times [FeedingLevel], through
// [OxycaloricJoules] and [FeedEnergy], with [SpeciesScatter]. It is an estimate of
// what goes into the tank, not advice on how to feed a species.
func FeedRation(grams, celsius float64) (Estimate, error) {
	line := [1]Stock{{Count: 1, Mass: Exact(grams)}}
	return StockRation(celsius, line[:])
}

// StockRation is the dry food in g/d for a whole stock, the sum of [FeedRation] over
// its fish; the spread of each line's mass is included.
func StockRation(celsius float64, stock []Stock) (Estimate, error) {
	spread := SpeciesScatter().
		TimesIndependent(FeedingLevel()).
		TimesIndependent(FeedEnergy().Inverse())
	return sumStock(celsius, stock, hoursPerDay*OxycaloricJoules, spread)
}
