package pictures

import (
	"math"

	"commensal/internal/pages/words"
	"commensal/internal/species"
)

// short writes a number with at most one decimal.
func short(x float64) string { return words.Number(math.Round(x*10) / 10) }

func cm(x float64) string { return short(x) + " cm" }

// inUnit writes a value of a water parameter with its unit.
func inUnit(p species.Parameter, text string) string {
	switch p {
	case species.Temperature:
		return text + " °C"
	case species.Hardness:
		return text + " °dH"
	case species.Salinity:
		return text + " ppt"
	}
	return "pH " + text
}

// Range writes a range with its unit: "22–27 °C", "pH 6–7.5".
func Range(p species.Parameter, r species.Range) string {
	return inUnit(p, short(r.Low)+"–"+short(r.High))
}

// Value writes one value with its unit.
func Value(p species.Parameter, x float64) string { return inUnit(p, short(x)) }

// Fahrenheit writes a range of °C in °F.
func Fahrenheit(r species.Range) string {
	return short(math.Round(r.Low*1.8+32)) + "–" + short(math.Round(r.High*1.8+32)) + " °F"
}
