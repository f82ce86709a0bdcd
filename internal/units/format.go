package units

import (
	"strconv"
	"strings"
)

// The formats take values in SI, finite, and round them as the parsers do before
// they choose the digits to show.

// FormatLength writes a length in cm with the digits that matter: "3.5 cm", "35 cm".
// Below 20 cm it keeps 1 mm, above whole centimetres.
func FormatLength(cm float64) string { return lengthDigits(RoundLength(cm)) + " cm" }

// FormatLengthUS writes a length given in cm in inches: "1.4 in", "48 in".
func FormatLengthUS(cm float64) string { return lengthDigits(RoundLength(cm)/CMPerInch) + " in" }

// FormatVolume writes a volume in L: "54 L", "453 L".
func FormatVolume(litres float64) string { return volumeDigits(RoundVolume(litres)) + " L" }

// FormatVolumeUS writes a volume given in L in US gallons: "120 US gal".
func FormatVolumeUS(litres float64) string {
	return volumeDigits(RoundVolume(litres)/LitresPerUSGallon) + " US gal"
}

// FormatTemperature writes a temperature in °C to a tenth: "25.5 °C".
func FormatTemperature(celsius float64) string { return decimal(RoundTemperature(celsius), 1) + " °C" }

// FormatTemperatureUS writes a temperature given in °C in whole °F: "78 °F".
func FormatTemperatureUS(celsius float64) string {
	return decimal(CelsiusToFahrenheit(RoundTemperature(celsius)), 0) + " °F"
}

// FormatHardness writes a general hardness in °dH: "2.5 °dH", "18 °dH".
func FormatHardness(dh float64) string { return tenthsBelow(RoundHardness(dh), 10) + " °dH" }

// FormatHardnessUS writes a general hardness given in °dH in mg/L as CaCO3: "178 ppm".
func FormatHardnessUS(dh float64) string { return decimal(DHToPPM(RoundHardness(dh)), 0) + " ppm" }

// FormatSalinity writes a salinity in ppt: "2.5 ppt", "35 ppt".
func FormatSalinity(ppt float64) string { return tenthsBelow(RoundSalinity(ppt), 10) + " ppt" }

// FormatSpecificGravity writes a salinity given in ppt as specific gravity
// 25/25 °C with the three decimals of a hydrometer: "1.026 SG".
func FormatSpecificGravity(ppt float64) string {
	return strconv.FormatFloat(SpecificGravity(ppt), 'f', 3, 64) + " SG"
}

// FormatTank writes a tank size in cm: "120 × 45 × 50 cm".
func FormatTank(t TankSize) string { return sides(t, 1) + " cm" }

// FormatTankUS writes a tank size in inches: "48 × 24 × 24 in".
func FormatTankUS(t TankSize) string { return sides(t, CMPerInch) + " in" }

func sides(t TankSize, unit float64) string {
	return lengthDigits(RoundLength(t.Length)/unit) + " × " + lengthDigits(RoundLength(t.Width)/unit) + " × " + lengthDigits(RoundLength(t.Height)/unit)
}

// lengthDigits keeps a tenth below 20 and whole units above; where a tenth would
// print as zero it keeps thousandths.
func lengthDigits(x float64) string {
	if x < 0.05 {
		return decimal(x, 3)
	}
	return tenthsBelow(x, 20)
}

// volumeDigits keeps a tenth below 20 and whole units above; where a tenth would
// print as zero it keeps ten-thousandths, so that a millilitre survives in gallons.
func volumeDigits(x float64) string {
	if x < 0.05 {
		return decimal(x, 4)
	}
	return tenthsBelow(x, 20)
}

// tenthsBelow writes one decimal below the limit and none from there on.
func tenthsBelow(x, limit float64) string {
	if x < limit {
		return decimal(x, 1)
	}
	return decimal(x, 0)
}

// decimal writes x with at most n decimals, without trailing zeros or a negative zero.
func decimal(x float64, n int) string {
	s := strconv.FormatFloat(x, 'f', n, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}
