package waterchem

import "math"

// AmmoniumPKaSea is the stoichiometric acidity exponent of ammonium on the total pH
// scale for brackish and sea water, -2 to 40 °C and salinity 0-40 PSU. It falls as
// temperature rises.
//
// Source: Clegg & Whitfield 1995 (Geochim. Cosmochim. Acta 59:2403-2421), eq. 18.
func AmmoniumPKaSea(celsius, salinity float64) (float64, error) {
	err := firstError(
		within(Temperature, celsius, -2, 40),
		within(Salinity, salinity, 0, 40),
	)
	if err != nil {
		return 0, err
	}
	return ammoniumPKaTotal(kelvin(celsius), salinity), nil
}

// UnionizedFractionSea is the share (0-1) of total ammonia that is un-ionized in
// brackish and sea water, for pH 0-14 on the total scale, -2 to 40 °C and salinity
// 0-40 PSU. It rises with pH and with temperature.
//
// An electrode set with ordinary fresh-water buffers does not read the total
// scale in sea water; a difference of 0.1 pH changes the share by about a quarter.
//
// Source: Clegg & Whitfield 1995, as in [AmmoniumPKaSea].
func UnionizedFractionSea(ph, celsius, salinity float64) (float64, error) {
	if err := within(PH, ph, 0, 14); err != nil {
		return 0, err
	}
	pka, err := AmmoniumPKaSea(celsius, salinity)
	if err != nil {
		return 0, err
	}
	return dissociated(pka, ph), nil
}

// ammoniumPKaTotal is eq. 18 with T in K: the value in pure water plus terms in
// powers of salinity.
func ammoniumPKaTotal(t, s float64) float64 {
	root := math.Sqrt(t)
	r := math.Sqrt(s) // s = r²
	pure := 9.244605 - 2729.33*(1/298.15-1/t)
	quarter := 0.04203362 - 11.24742/t
	half := -13.6416 + 1.176949*root - 0.02860785*t + 545.4834/t
	threeHalves := -0.1462507 + 0.009022648*root - 1.471361e-4*t + 10.5425/t
	two := 0.004669309 - 1.691742e-4*root - 0.5677934/t
	fiveHalves := -2.354039e-5 + 0.009698623/t
	return pure + quarter*math.Sqrt(r) + r*(half+s*(threeHalves+r*(two+r*fiveHalves)))
}
