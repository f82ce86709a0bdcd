package units

var temperatures = quantity{
	name:    "temperature",
	example: "for example 25 C, 78 F or 298.15 K",
	spellings: map[string]Unit{
		"c": Celsius, "°c": Celsius, "celsius": Celsius, "°celsius": Celsius,
		"f": Fahrenheit, "°f": Fahrenheit, "fahrenheit": Fahrenheit, "°fahrenheit": Fahrenheit,
		"k": Kelvin, "kelvin": Kelvin,
	},
	misread: map[string]string{
		"°": "a degree sign alone does not say which scale",
	},
	toSI: map[Unit]func(float64) float64{
		Celsius: times(1), Fahrenheit: FahrenheitToCelsius, Kelvin: KelvinToCelsius,
	},
	round:  RoundTemperature,
	min:    0,
	max:    100,
	limits: "a temperature between freezing (0 °C, 32 °F) and boiling (100 °C, 212 °F)",
}

// ParseTemperature reads a temperature such as "78F", "25 °C" or "298.15K" and
// returns it in °C, rounded to 0.01 °C, from 0 to 100: where water is liquid. A
// bare number is read in the implied unit, or is an error when that is [None].
// Errors are of type [*ParseError].
func ParseTemperature(s string, implied Unit) (float64, error) { return temperatures.parse(s, implied) }
