// Package units parses, converts and formats the quantities people state about a
// tank: lengths, volumes, temperatures, general hardness, salinity and tank sizes.
//
// Every value is a plain float64 in one unit: cm, L, °C, °dH (German degrees) and
// ppt (g of salt per kg of water; on this scale ppt and PSU are taken as equal).
// Parsing is strict: a number in plain decimal digits, then a unit; whatever does
// not fit gives a [*ParseError] that says what was wrong and how to write it.
//
// Parsed values are rounded so that the same tank stated in other units is the
// same tank, bit for bit:
//
//	lengths       0.1 mm    (RoundLength)
//	volumes       1 mL      (RoundVolume)
//	temperatures  0.01 °C   (RoundTemperature)
//	hardness      0.01 °dH  (RoundHardness)
//	salinity      0.01 ppt  (RoundSalinity)
//
// Values that arrive as plain SI numbers should pass through the same functions.
// The Format functions round further, for people to read; their output parses.
package units
