package waterchem

import "math"

// The range of the oxygen relations: Benson & Krause cover 0-40 °C and salinity
// 0-40; the pressure correction is used from 0.5 to 1.1 standard atmospheres.
const (
	oxygenMaxTemperature = 40.0
	oxygenMaxSalinity    = 40.0
	minPressure          = 50.0
	maxPressure          = 111.5
)

// StandardPressure is the standard atmosphere in kPa (definition).
const StandardPressure = 101.325

// OxygenSaturation is the dissolved oxygen, in mg/L, of water in balance with
// water-saturated air at the standard atmosphere, for a temperature of 0-40 °C and
// a salinity of 0-40 PSU.
//
// It falls as temperature rises and as salinity rises. It is the ceiling of what
// gas exchange with the air can supply; photosynthesis can push water above it.
//
// Source: Benson & Krause 1980, 1984 (Limnol. Oceanogr. 25:662-671, 29:620-632), in
// the form of APHA Standard Methods 4500-O. Other published fits differ by less
// than 0.02 mg/L in fresh water and up to 0.06 mg/L in sea water.
func OxygenSaturation(celsius, salinity float64) (float64, error) {
	err := firstError(
		within(Temperature, celsius, 0, oxygenMaxTemperature),
		within(Salinity, salinity, 0, oxygenMaxSalinity),
	)
	if err != nil {
		return 0, err
	}
	return oxygenAtSeaLevel(celsius, salinity), nil
}

// OxygenSaturationAt is [OxygenSaturation] under an air pressure of 50-111.5 kPa
// (the station pressure, not the one reduced to sea level). It rises with
// pressure, slightly more than in proportion, because the water vapour above
// the surface keeps its own share.
//
// Source: the pressure term of Benson & Krause 1984 in the form of APHA Standard
// Methods 4500-O. Its vapour pressure is that of fresh water; for sea water the
// difference is under 0.2 %.
func OxygenSaturationAt(celsius, salinity, kilopascal float64) (float64, error) {
	atSeaLevel, err := OxygenSaturation(celsius, salinity)
	if err != nil {
		return 0, err
	}
	if err := within(AirPressure, kilopascal, minPressure, maxPressure); err != nil {
		return 0, err
	}
	return atSeaLevel * oxygenPressureFactor(celsius, kilopascal/StandardPressure), nil
}

// oxygenAtSeaLevel is the Benson & Krause polynomial in mg/L, in Horner form.
func oxygenAtSeaLevel(celsius, salinity float64) float64 {
	u := 1 / kelvin(celsius)
	fresh := -139.34411 + u*(1.575701e5+u*(-6.642308e7+u*(1.243800e10-u*8.621949e11)))
	salt := salinity * (0.017674 + u*(-10.754+u*2140.7))
	return math.Exp(fresh - salt)
}

// oxygenPressureFactor is the saturation at a pressure of p atmospheres over that
// at one atmosphere: vapour pressure in atm, theta for the departure of oxygen
// from an ideal gas.
func oxygenPressureFactor(celsius, p float64) float64 {
	u := 1 / kelvin(celsius)
	vapour := math.Exp(11.8571 + u*(-3840.70-u*216961))
	theta := 0.000975 + celsius*(-1.426e-5+celsius*6.436e-8)
	return (p - vapour) * (1 - theta*p) / ((1 - vapour) * (1 - theta))
}
