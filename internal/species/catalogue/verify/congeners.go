package verify

import (
	"fmt"
	"math"

	"commensal/internal/species"
)

// Congeners resemble each other. A value that is far from those of its genus is
// often right, since genera have their dwarfs and their bullies, but it is where
// slips hide.
const (
	// leastCongeners are enough others to say what is usual in a genus.
	leastCongeners = 4
	// farOff is how many robust standard deviations are far (Leys et al. 2013).
	farOff = 3.5
	// A genus in which all agree still has this spread: in the logarithm of a
	// measure, in a grade, in °C and in pH.
	leastLogSpread, leastGradeSpread      = 0.25, 0.1
	leastTemperatureSpread, leastPHSpread = 1.2, 0.3
	leastHardnessSpread                   = 4.0

	// slipCongeners are enough others to see a length in inches, if they agree
	// within the ratio slipSpread.
	slipCongeners, slipSpread = 2, 1.7
	// A length in inches is 2.54 times too small; slipTolerance is how far congeners
	// may differ for the ratio to be seen.
	cmPerInch, slipTolerance = 2.54, 0.08
)

// measure is one value that congeners are compared in.
type measure struct {
	field  string
	unit   string
	log    bool    // compared in ratios, not differences
	length bool    // could have been written in inches
	least  float64 // spread
	small  float64 // difference in the unit that does not matter
	of     func(*species.Species) (x float64, ok bool)
}

// measures are all traits and the middle of the preferred water.
var measures = func() []measure {
	var out []measure
	for t := range species.Trait(species.NumTraits) {
		info := t.Info()
		m := measure{field: "trait " + t.String(), unit: string(info.Unit), log: true, least: leastLogSpread,
			length: info.Unit == species.Centimetre, small: small[t],
			of: func(s *species.Species) (float64, bool) { return s.Traits[t].Typical, s.Traits[t].Known() }}
		if info.Unit == species.Grade {
			m.log, m.least = false, leastGradeSpread
		}
		out = append(out, m)
	}
	for _, w := range []struct {
		p     species.Parameter
		least float64
	}{{species.Temperature, leastTemperatureSpread}, {species.PH, leastPHSpread}, {species.Hardness, leastHardnessSpread}} {
		out = append(out, measure{field: "water " + w.p.String(), unit: w.p.Info().Unit, least: w.least, of: preferred(w.p)})
	}
	return out
}()

// small are the differences that do not matter, however much alike a genus is.
var small = map[species.Trait]float64{species.Territory: 10, species.GroupMin: 3, species.FemalesPerMale: 2}

// preferred gives the middle of the preferred range.
func preferred(p species.Parameter) func(*species.Species) (float64, bool) {
	return func(s *species.Species) (float64, bool) {
		w := s.Water[p]
		return (w.Preferred.Low + w.Preferred.High) / 2, w.Known()
	}
}

// congeners compares each entry with the others of its genus. Trade forms differ
// from their kind on purpose and are left out.
func (v *verifier) congeners() {
	genera := make(map[string][]*species.Species)
	var order []string
	for _, s := range v.catalogue.Species {
		if s == nil || s.FormOf != "" {
			continue
		}
		genus := s.Genus()
		if genera[genus] == nil {
			order = append(order, genus)
		}
		genera[genus] = append(genera[genus], s)
	}
	for _, genus := range order {
		if len(genera[genus]) > slipCongeners {
			for _, m := range measures {
				v.compare(genera[genus], m)
			}
		}
	}
}

// compare looks for entries of one genus that are far off in one measure.
func (v *verifier) compare(genus []*species.Species, m measure) {
	var known []*species.Species
	var values []float64
	for _, s := range genus {
		x, ok := m.of(s)
		if ok && m.log {
			ok, x = x > 0, math.Log(x)
		}
		if ok && !math.IsNaN(x) && !math.IsInf(x, 0) {
			known, values = append(known, s), append(values, x)
		}
	}
	others := make([]float64, 0, len(values))
	for i, s := range known {
		others = append(append(others[:0], values[:i]...), values[i+1:]...)
		if len(others) >= slipCongeners {
			v.judge(entryVerifier{v, s}, m, values[i], others)
		}
	}
}

// judge compares one value with those of its congeners.
func (v *verifier) judge(e entryVerifier, m measure, x float64, others []float64) {
	median, spread := centre(others)
	switch off := x - median; {
	case m.length && isSlip(off, others):
		word := "small"
		if off > 0 {
			word = "large"
		}
		e.review(m.field, "%s cm is about 2.54 times too %s for its genus (usually %s cm): a likely unit slip, inches for centimetres",
			m.shown(x), word, m.shown(median))
	case len(others) >= leastCongeners && math.Abs(off) > farOff*max(spread, m.least) && math.Abs(m.value(x)-m.value(median)) > m.small:
		e.review(m.field, "%s %s is far from its %d congeners, usually %s", m.shown(x), m.unit, len(others), m.shown(median))
	}
}

// value undoes the logarithm.
func (m measure) value(x float64) float64 {
	if m.log {
		return math.Exp(x)
	}
	return x
}

// isSlip reports whether a logarithm of a length is off by that of an inch, while
// all others are close together.
func isSlip(off float64, others []float64) bool {
	low, high := others[0], others[0]
	for _, x := range others {
		low, high = min(low, x), max(high, x)
	}
	return high-low < math.Log(slipSpread) && math.Abs(math.Abs(off)-math.Log(cmPerInch)) < slipTolerance
}

// shown writes a value to three digits.
func (m measure) shown(x float64) string { return fmt.Sprintf("%.3g", m.value(x)) }
