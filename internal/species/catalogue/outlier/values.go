package outlier

import (
	"fmt"
	"math"

	"commensal/internal/species"
)

// value is one number of an entry that is predicted and predicts others.
type value struct {
	field, unit string // as reviews name it
	log         bool   // compared in ratios
	min, max    float64
	least       float64
	of          func(*species.Species) (float64, bool)
}

// What is smaller than these spreads is no outlier however regular the rest is: in the logarithm of a
// measure, in a grade, in °C, pH and °dH.
const leastLog, leastGrade, leastTemperature, leastPH, leastHardness = 0.12, 0.05, 0.8, 0.2, 2.0

// values are the traits and the middle of the preferred water. Territory, digging and the like have many
// zeroes and are compared as they are.
var values = func() []value {
	var out []value
	for t := range species.Trait(species.NumTraits) {
		info := t.Info()
		v := value{field: t.String(), unit: string(info.Unit), log: info.Min > 0, min: info.Min, max: info.Max, least: leastGrade, of: trait(t)}
		switch {
		case v.log:
			v.least = leastLog
		case info.Unit != species.Grade:
			v.least = leastTerritory
		}
		out = append(out, v)
	}
	for _, w := range []struct {
		p     species.Parameter
		least float64
	}{{species.Temperature, leastTemperature}, {species.PH, leastPH}, {species.Hardness, leastHardness}} {
		out = append(out, value{field: "water " + w.p.String(), unit: w.p.Info().Unit, min: w.p.Info().Min, max: w.p.Info().Max, least: w.least, of: preferred(w.p)})
	}
	return out
}()

// leastTerritory in cm.
const leastTerritory = 6.0

func trait(t species.Trait) func(*species.Species) (float64, bool) {
	return func(s *species.Species) (float64, bool) { return s.Traits[t].Typical, s.Traits[t].Known() }
}

func preferred(p species.Parameter) func(*species.Species) (float64, bool) {
	return func(s *species.Species) (float64, bool) {
		w := s.Water[p]
		return (w.Preferred.Low + w.Preferred.High) / 2, w.Known()
	}
}

// scaled is the number as it is compared; ok is false where there is none.
func (v value) scaled(s *species.Species) (x float64, ok bool) {
	x, ok = v.of(s)
	if ok && v.log {
		ok, x = x > 0, math.Log(x)
	}
	return x, ok && !math.IsNaN(x) && !math.IsInf(x, 0)
}

// shown writes a compared number in its unit to three digits. A prediction beyond what there can be is
// shown as the nearest that can.
func (v value) shown(x float64) string {
	if v.log {
		x = math.Exp(x)
	}
	return fmt.Sprintf("%.3g", min(max(x, v.min), v.max))
}
