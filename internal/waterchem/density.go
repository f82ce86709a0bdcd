package waterchem

// WaterDensity is the density in kg/m³ of air-free water at the standard atmosphere,
// for 0-40 °C and a salinity of 0-40 PSU. It falls with temperature above 4 °C and
// rises with salinity.
//
// Source: fresh water by the CIPM formula, Tanaka, Girard, Davis, Peuto & Bignell 2001
// (Metrologia 38:301-309); the effect of salt is the ratio of [SeaWaterRatio].
func WaterDensity(celsius, salinity float64) (float64, error) {
	ratio, err := SeaWaterRatio(celsius, salinity)
	if err != nil {
		return 0, err
	}
	return freshDensity(celsius) * ratio, nil
}

// SeaWaterRatio is the density of water of a salinity of 0-40 PSU over that of pure
// water, both at the same temperature of 0-40 °C: 1.0264 for sea water at 25 °C. It
// rises with salinity.
//
// Source: the one-atmosphere equation of state EOS-80, Millero & Poisson 1981, in
// Fofonoff & Millard 1983 (UNESCO Tech. Pap. Mar. Sci. 44).
func SeaWaterRatio(celsius, salinity float64) (float64, error) {
	err := firstError(
		within(Temperature, celsius, 0, 40),
		within(Salinity, salinity, 0, 40),
	)
	if err != nil {
		return 0, err
	}
	return 1 + saltDensity(celsius, salinity)/eos80Fresh(celsius), nil
}

// freshDensity is the CIPM formula in kg/m³.
func freshDensity(t float64) float64 {
	const a1, a2, a3, a4, a5 = -3.983035, 301.797, 522528.9, 69.34881, 999.974950
	d := t + a1
	return a5 * (1 - d*d*(t+a2)/(a3*(t+a4)))
}
