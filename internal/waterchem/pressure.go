package waterchem

import "math"

// The altitudes at which people keep fish, with room to spare, in m.
const (
	minAltitude = -500.0
	maxAltitude = 5500.0
)

// PressureAtAltitude is the air pressure in kPa of the standard atmosphere at an
// altitude of -500 to 5500 m. It falls with altitude: about 11 % for the first
// 1000 m. The weather moves the real pressure by some 3 % either way.
//
// Source: the troposphere of the International Standard Atmosphere (ISO 2533:1975),
// P = 101.325·(1 − 0.0065·h/288.15)^5.25588.
func PressureAtAltitude(metres float64) (float64, error) {
	if err := within(Altitude, metres, minAltitude, maxAltitude); err != nil {
		return 0, err
	}
	return StandardPressure * math.Pow(1-0.0065*metres/288.15, 5.25588), nil
}
