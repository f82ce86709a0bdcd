package waterchem

import "math"

// AmmoniumPKa is the acidity exponent of ammonium in fresh water at 0-50 °C: the pH
// at which half of the ammonia is un-ionized. It falls as temperature rises.
//
// Source: Emerson, Russo, Lund & Thurston 1975 (J. Fish. Res. Board Can.
// 32:2379-2383), pKa = 0.09018 + 2729.92/T with T in K.
func AmmoniumPKa(celsius float64) (float64, error) {
	if err := within(Temperature, celsius, 0, 50); err != nil {
		return 0, err
	}
	return 0.09018 + 2729.92/kelvin(celsius), nil
}

// UnionizedFraction is the share (0-1) of total ammonia that is un-ionized, the
// poisonous part, in fresh water of pH 0-14 at 0-50 °C; the published table covers
// 6-30 °C. It rises with pH, about tenfold for each unit while it is small, and
// with temperature, about 7 % for each °C. Salt lowers it a little; see
// [UnionizedFractionSea].
//
// Source: Emerson et al. 1975, as in [AmmoniumPKa]; f = 1/(1 + 10^(pKa − pH)).
func UnionizedFraction(ph, celsius float64) (float64, error) {
	if err := within(PH, ph, 0, 14); err != nil {
		return 0, err
	}
	pka, err := AmmoniumPKa(celsius)
	if err != nil {
		return 0, err
	}
	return dissociated(pka, ph), nil
}

// UnionizedAmmonia is the un-ionized ammonia of fresh water in mg/L as nitrogen
// (NH₃-N), from the total ammonia nitrogen (TAN, 0-1000 mg/L as N), pH and
// temperature. It rises with all three. Test kits that report NH₃ or NH₄ by mass
// instead of nitrogen must be converted first (divide by 1.22 or by 1.29).
//
// Source: NH₃-N = f·TAN with f of [UnionizedFraction].
func UnionizedAmmonia(tan, ph, celsius float64) (float64, error) {
	if err := within(Ammonia, tan, 0, 1000); err != nil {
		return 0, err
	}
	f, err := UnionizedFraction(ph, celsius)
	if err != nil {
		return 0, err
	}
	return f * tan, nil
}

// dissociated is the share of a weak acid that has given up its proton.
func dissociated(pka, ph float64) float64 {
	return 1 / (1 + math.Exp((pka-ph)*math.Ln10))
}
