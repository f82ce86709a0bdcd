package waterchem

import "math"

// The range of the metabolic relations. The published line covers about 0-30 °C;
// up to 40 °C it is extrapolated, for the few warm-water tanks beyond.
const (
	minBodyMass        = 1e-3
	maxBodyMass        = 1e6
	metabolicMaxTemp   = 40.0
	metabolicReference = 50.0
)

// MassExponent is how resting metabolism grows with body mass within a species: a
// fish of twice the mass breathes 2^0.79 = 1.73 times as much.
//
// Source: Clarke & Johnston 1999 (J. Anim. Ecol. 68:893-905), 0.79, standard error
// 0.11.
const MassExponent = 0.79

// How resting metabolism grows with temperature, for each 10 °C.
//
// Source: Clarke & Johnston 1999.
const (
	// Q10Across compares species, each at the temperature it lives at.
	Q10Across = 1.83
	// Q10Within applies to one fish that is warmed or cooled (median of species).
	Q10Within = 2.40
)

// RestingRate is the oxygen use, in mg O₂/h, of a resting, fasting bony fish of a
// body mass of 0.001-1e6 g that lives at a temperature of 0-40 °C (published range
// about 0-30 °C). It rises with mass, less than in proportion, and with
// temperature, sixfold from 0 to 30 °C. A single species may lie at half or twice
// the value, see [SpeciesScatter].
//
// Source: Clarke & Johnston 1999: for 50 g, ln R = 15.7 − 5020/T (mmol O₂/h, T in K),
// scaled with (M/50)^0.79.
func RestingRate(grams, celsius float64) (float64, error) {
	err := firstError(
		within(BodyMass, grams, minBodyMass, maxBodyMass),
		within(Temperature, celsius, 0, metabolicMaxTemp),
	)
	if err != nil {
		return 0, err
	}
	return restingRate(grams, celsius), nil
}

func restingRate(grams, celsius float64) float64 {
	perHour := math.Exp(15.7 - 5020/kelvin(celsius))
	return perHour * molarOxygen * MassScale(grams, metabolicReference, MassExponent)
}

// RestingRatePooled is the line through all species without regard to temperature,
// in mg O₂/h for 0.001-1e6 g. It is there to compare with other work: at 25 °C it
// gives a third of what [RestingRate] gives. Use that instead.
//
// Source: Clarke & Johnston 1999, ln R = 0.80·ln M − 5.43 (mmol O₂/h).
func RestingRatePooled(grams float64) (float64, error) {
	if err := within(BodyMass, grams, minBodyMass, maxBodyMass); err != nil {
		return 0, err
	}
	return molarOxygen * math.Exp(0.80*math.Log(grams)-5.43), nil
}

// MassScale is how many times more a fish of mass uses than one of the reference
// mass: (mass/reference)^exponent. Masses must be positive; nothing is checked.
func MassScale(mass, reference, exponent float64) float64 {
	return math.Pow(mass/reference, exponent)
}

// WarmingFactor is how many times more a fish uses after a move from one
// temperature to another (0-40 °C each) at the given Q10 (1-5): [Q10Within] for the
// same fish, [Q10Across] to compare species at home. It rises with to and
// falls with from.
//
// Source: the definition of Q10, Q10^((to−from)/10).
func WarmingFactor(q10, from, to float64) (float64, error) {
	err := firstError(
		within(Q10, q10, 1, 5),
		within(Temperature, from, 0, metabolicMaxTemp),
		within(Temperature, to, 0, metabolicMaxTemp),
	)
	if err != nil {
		return 0, err
	}
	return math.Pow(q10, (to-from)/10), nil
}
