package waterchem

// Stock is a number of like fish (0-1e6) and the body mass in g of each.
type Stock struct {
	Count int
	Mass  Estimate
	// Metabolic is [Metabolic] of the mass where that was worked out before, else zero.
	Metabolic Estimate
}

// Metabolic is a body mass in g to the exponent of metabolism, to which food and oxygen are in
// proportion.
func Metabolic(mass Estimate) Estimate { return mass.Power(MassExponent) }

// ActivityFactor is how many times more a fish uses than at rest as it lives: swimming
// alone, swimming in a group, and at its most active.
//
// Source: Lucas & Priede 1992 (J. Fish Biol. 41:175-190), zebrafish of about 0.5 g at
// 24 °C: 421, 560 and 1223 over 364 mg/kg/h. One small, lively species: sluggish
// fish lie at the low end.
func ActivityFactor() Estimate {
	return Estimate{Low: 421.0 / 364, Typical: 560.0 / 364, High: 1223.0 / 364}
}

// SpeciesScatter is how far one species may lie from the line through all species:
// a factor of two either way. This is our own allowance, no source gives it; the
// zebrafish of Lucas & Priede 1992 lie at 0.71.
func SpeciesScatter() Estimate {
	return Estimate{Low: 0.5, Typical: 1, High: 2}
}

// OxygenDemand is the oxygen a stock uses, in mg O₂/h, in water of 0-40 °C. Typical
// is ordinary swimming in company; high is hard swimming, so that it can stand for
// the worst hour. It rises with number, mass and temperature. An empty stock uses
// nothing. The filter's own use comes on top, see [NitrificationOxygen]. Air
// breathers take part of theirs from the air.
//
// For each line the spreads of mass, [SpeciesScatter] and [ActivityFactor] add as
// squares; the lines themselves add end to end.
//
// Source: [RestingRate] (Clarke & Johnston 1999) times [ActivityFactor] (Lucas &
// Priede 1992).
func OxygenDemand(celsius float64, stock []Stock) (Estimate, error) {
	return sumStock(celsius, stock, 1, SpeciesScatter().TimesIndependent(ActivityFactor()))
}

// sumStock adds factor·count·resting rate over the lines, each with the given
// spread besides that of its mass.
func sumStock(celsius float64, stock []Stock, factor float64, spread Estimate) (Estimate, error) {
	if err := within(Temperature, celsius, 0, metabolicMaxTemp); err != nil {
		return Estimate{}, err
	}
	unit := factor * restingRate(1, celsius)
	var sum Estimate
	for i := range stock {
		if err := stock[i].check(); err != nil {
			return Estimate{}, err
		}
		each := stock[i].metabolic().TimesIndependent(spread)
		sum = sum.Plus(each.Scale(unit * float64(stock[i].Count)))
	}
	return sum, nil
}

// metabolic is the mass to the exponent of metabolism.
func (s *Stock) metabolic() Estimate {
	if s.Metabolic != (Estimate{}) {
		return s.Metabolic
	}
	return Metabolic(s.Mass)
}

func (s *Stock) check() error {
	return firstError(
		within(Count, float64(s.Count), 0, 1e6),
		s.Mass.check(BodyMass, minBodyMass, maxBodyMass),
	)
}
