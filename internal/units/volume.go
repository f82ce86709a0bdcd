package units

// MaxVolume is the largest volume in L that is accepted: 100,000 m³, more than any
// public aquarium holds (from memory), so that only slips exceed it.
const MaxVolume = 1e8

var volumes = quantity{
	name:    "volume",
	example: "for example 200 l, 55 gal (US), 20 imp gal or 0.2 m3",
	spellings: map[string]Unit{
		"ml": Millilitre, "millilitre": Millilitre, "millilitres": Millilitre, "milliliter": Millilitre, "milliliters": Millilitre,
		"l": Litre, "litre": Litre, "litres": Litre, "liter": Litre, "liters": Litre,
		"m3": CubicMetre, "cubicmetre": CubicMetre, "cubicmetres": CubicMetre, "cubicmeter": CubicMetre, "cubicmeters": CubicMetre,
		"gal": USGallon, "gallon": USGallon, "gallons": USGallon,
		"usgal": USGallon, "usgallon": USGallon, "usgallons": USGallon,
		"impgal": UKGallon, "impgallon": UKGallon, "impgallons": UKGallon,
		"imperialgal": UKGallon, "imperialgallon": UKGallon, "imperialgallons": UKGallon,
		"ukgal": UKGallon, "ukgallon": UKGallon, "ukgallons": UKGallon,
	},
	toSI: map[Unit]func(float64) float64{
		Millilitre: times(0.001), Litre: times(1), CubicMetre: times(1000),
		USGallon: times(LitresPerUSGallon), UKGallon: times(LitresPerUKGallon),
	},
	round:  RoundVolume,
	min:    0.001,
	max:    MaxVolume,
	limits: "a volume of at least 1 mL and at most 100000 m3",
}

// ParseVolume reads a volume such as "55gal" (US gallons), "20 imp gal", "20 uk gal",
// "200l" or "0.2m3" and returns it in L, rounded to 1 mL, more than 0 and at most
// [MaxVolume]. A bare number is read in the implied unit, or is an error when that
// is [None]. Errors are of type [*ParseError].
func ParseVolume(s string, implied Unit) (float64, error) { return volumes.parse(s, implied) }
