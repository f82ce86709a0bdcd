package conflict

import (
	"math"
	"slices"

	"commensal/internal/species"
)

// Water: can one body of water suit both. A fish is at ease in the core of what it prefers;
// away from it the hazard of living there for years grows with the square of the
// distance, and again beyond what it tolerates. A pair is judged at the value at which the
// sum for the two is least, so no reading ever does better than none.

// Units of distance from the core of an ordinary range, and beyond the tolerated edge.
var (
	waterUnit   = [species.NumParameters]float64{5, 1, 8, 5} // °C, pH, °dH, ppt
	outsideUnit = [species.NumParameters]float64{3, 0.8, 6, 4}
	// usualHalf is half of an ordinary preferred range, and leastHalf the least that counts: a
	// fish with a wide range bears a given distance more easily.
	usualHalf = [species.NumParameters]float64{2, 0.65, 5, 2}
	leastHalf = [species.NumParameters]float64{0.5, 0.2, 1, 0.5}
	// waterEdge is how uncertain a catalogued edge is.
	waterEdge = [species.NumParameters]float64{0.5, 0.1, 0.5, 0.2}
	// physicalFloor is the least value a parameter can have: softer or fresher than nothing
	// there is not.
	physicalFloor = [species.NumParameters]float64{math.Inf(-1), math.Inf(-1), 0, 0}
)

// The statements about water.
const (
	WaterShared         Code = "water.shared"
	WaterOwnKind        Code = "water.own_kind"
	WaterNarrow         Code = "water.narrow"
	WaterCompromise     Code = "water.compromise"
	WaterApart          Code = "water.apart"
	WaterReadingEdge    Code = "water.reading_edge"
	WaterReadingOutside Code = "water.reading_outside"
	WaterReadingBoth    Code = "water.reading_both"
	WaterUnknown        Code = "water.unknown"
)

// The one-sentence summaries of water: that they prefer different water, that they share only a narrow
// range, that none suits both, that the tank's water suits one or both badly, are four different things.
const (
	SummaryWater       Code = "summary.water"
	SummaryWaterLikes  Code = "summary.water_likes"
	SummaryWaterNarrow Code = "summary.water_narrow"
	SummaryWaterApart  Code = "summary.water_apart"
	SummaryWaterTank   Code = "summary.water_tank"
	SummaryWaterOne    Code = "summary.water_tank_one"
	SummaryWaterOwn    Code = "summary.water_own_kind"
)

// The words of the parameters.
const (
	WordTemperature WordCode = "temperature"
	WordPH          WordCode = "ph"
	WordHardness    WordCode = "gh"
	WordSalinity    WordCode = "salinity"
)

// waterWeights are the fitted numbers of this factor.
var waterWeights = []WeightSpec{
	{"water_temperature", "hazard of two kinds whose comfort lies 5 °C apart", 0.7, 0.1, 3, func(w *Weights) *float64 { return &w.Water[species.Temperature] }},
	{"water_ph", "hazard of two kinds whose comfort lies 1 pH apart", 0.37, 0.05, 2, func(w *Weights) *float64 { return &w.Water[species.PH] }},
	{"water_gh", "hazard of two kinds whose comfort lies 8 °dH apart", 0.11, 0.01, 1.5, func(w *Weights) *float64 { return &w.Water[species.Hardness] }},
	{"water_salinity", "hazard of two kinds whose comfort lies 5 ppt apart", 0.3, 0.02, 5, func(w *Weights) *float64 { return &w.Water[species.Salinity] }},
	{"core_temperature", "core of comfort as a share of the preferred range of temperature; lower asks for more", 0.44, 0.05, 0.9, func(w *Weights) *float64 { return &w.Core[species.Temperature] }},
	{"core_ph", "the same of pH", 0.35, 0.05, 0.9, func(w *Weights) *float64 { return &w.Core[species.PH] }},
	{"core_gh", "the same of hardness", 0.7, 0.6, 0.95, func(w *Weights) *float64 { return &w.Core[species.Hardness] }},
	{"core_salinity", "the same of salinity", 0.6, 0.5, 0.95, func(w *Weights) *float64 { return &w.Core[species.Salinity] }},
	{"outside_temperature", "hazard of two kinds whose tolerated ranges lie 3 °C apart, besides", 0.3, 0.02, 4, func(w *Weights) *float64 { return &w.Outside[species.Temperature] }},
	{"outside_ph", "hazard of two kinds whose tolerated ranges lie 0.8 pH apart, besides", 0.3, 0.02, 4, func(w *Weights) *float64 { return &w.Outside[species.PH] }},
	{"season", "hazard of a kind of cool water that never has its cool season, beside one that needs warmth all year", 0.3, 0.02, 2, func(w *Weights) *float64 { return &w.Season }},
	{"range_eases", "exponent on the width of the preferred range, against the ordinary, in the distance of temperature and pH that is borne", 0.5, 0.05, 1.5, func(w *Weights) *float64 { return &w.RangeEases }},
	{"shell_hardy", "share of that which a snail or clam feels, against a fish", 0.35, 0.1, 1, func(w *Weights) *float64 { return &w.ShellHardy }},
	{"shop_hardy", "share of that which a kind feels that every shop has, bred for generations in any water", 0.68, 0.3, 1, func(w *Weights) *float64 { return &w.ShopHardy }},
}

// outsideRest is the weight of the outside term of hardness and salinity, of which the
// judgements say too little: that of pH.
func (w *Weights) outside(p species.Parameter) float64 {
	if p == species.Temperature {
		return w.Outside[species.Temperature]
	}
	return w.Outside[species.PH]
}

// accepts is a species' range for one parameter, made ready.
type accepts struct {
	low, high       float64 // core of comfort
	tolLow, tolHigh float64
	inside, beyond  float64 // hazard of each squared unit of the parameter from the core, beyond the tolerated edge
	known           bool
}

// acceptsAt reads a water range at one end of the uncertainty of its edges: wider
// at the kinder end, narrower at the harsher.
func (m *Model) acceptsAt(sp *species.Species, p species.Parameter, e end) accepts {
	w := sp.Water[p]
	if !w.Known() {
		return accepts{}
	}
	wider := waterEdge[p] * float64(int(typical)-int(e))
	mid, half := (w.Preferred.Low+w.Preferred.High)/2, m.w.Core[p]*(w.Preferred.High-w.Preferred.Low)/2
	unit := waterUnit[p] * math.Pow(max((w.Preferred.High-w.Preferred.Low)/2, leastHalf[p])/usualHalf[p], m.eases(p))
	half = max(0, half+wider)
	hardy := m.hardiness(sp)
	a := accepts{
		low: mid - half, high: mid + half, tolLow: w.Tolerated.Low - wider, tolHigh: w.Tolerated.High + wider,
		inside: 2 * hardy * m.w.Water[p] / (unit * unit),
		beyond: 2 * hardy * m.w.outside(p) / (outsideUnit[p] * outsideUnit[p]),
		known:  true,
	}
	a.tolLow, a.tolHigh = min(a.tolLow, a.low), max(a.tolHigh, a.high)
	if w.Tolerated.Low <= physicalFloor[p] {
		a.low, a.tolLow = math.Inf(-1), math.Inf(-1)
		a.high, a.tolHigh = max(a.high, physicalFloor[p]), max(a.tolHigh, physicalFloor[p])
	}
	return a
}

// The upper preferred temperatures in °C between which a kind goes from one of cool water to
// one that needs no cool season, and the lower ones between which it comes to need warmth.
const (
	coolUpTo, coolNoMore     = 22.5, 25.5
	warmNotBelow, warmSurely = 20.5, 23.5
)

// seasons are how far a kind misses a cool season in a heated tank, and how far it needs the
// heat, 0 to 1.
func (m *Model) seasons(sp *species.Species) (cool, warm float64) {
	w := sp.Water[species.Temperature]
	if !w.Known() {
		return 0, 0
	}
	cool = clamp((coolNoMore-w.Preferred.High)/(coolNoMore-coolUpTo), 0, 1)
	warm = clamp((w.Preferred.Low-warmNotBelow)/(warmSurely-warmNotBelow), 0, 1)
	return m.hardiness(sp) * cool, warm
}

// hardiness is the share of bad water that a kind feels, 0 to 1.
func (m *Model) hardiness(sp *species.Species) float64 {
	share := 1.0
	if sp.BodyForm.Shelled() {
		share *= m.w.ShellHardy
	}
	if sp.Available == species.EveryShop {
		share *= m.w.ShopHardy
	}
	return share
}

// eases is the exponent on the width of a range. Ranges of hardness and salinity differ so much
// between kinds that only their own width is a measure.
func (m *Model) eases(p species.Parameter) float64 {
	if p == species.Hardness || p == species.Salinity {
		return 1
	}
	return m.w.RangeEases
}

// stress is the hazard of living at x.
func (w *accepts) stress(x float64) float64 {
	in, out := max(0, w.low-x, x-w.high), max(0, w.tolLow-x, x-w.tolHigh)
	return squares(w.inside, in, w.beyond, out)
}

// above is the stress of living at an x that is not below the core, and under at one that is not above it.
func (w *accepts) above(x float64) float64 {
	return squares(w.inside, max(0, x-w.high), w.beyond, max(0, x-w.tolHigh))
}

func (w *accepts) under(x float64) float64 {
	return squares(w.inside, max(0, w.low-x), w.beyond, max(0, w.tolLow-x))
}

func squares(inside, in, beyond, out float64) float64 { return inside*in*in + beyond*out*out }

// slope is the derivative of stress.
func (w *accepts) slope(x float64) float64 {
	return 2 * (w.inside*(max(0, x-w.high)-max(0, w.low-x)) + w.beyond*(max(0, x-w.tolHigh)-max(0, w.tolLow-x)))
}

// compromise is the value at which the stress of the two together is least, and that
// stress.
func compromise(a, b *accepts) (x, stress float64) {
	if a.low > b.high {
		a, b = b, a
	}
	if a.high >= b.low {
		return middle(max(a.low, b.low), min(a.high, b.high)), 0
	}
	x = between(a, b)
	return x, a.stress(x) + b.stress(x)
}

// between is the value at which the stress of two together is least whose cores lie apart, the
// first's below.
//
// The stress is a sum of squares of which those beyond the tolerated edges count on one side
// alone: the least for the squares that count at a guess is the answer where the same count there.
func between(a, b *accepts) float64 {
	x := even(a, b)
	if x > a.tolHigh || x < b.tolLow {
		return strained(a, b, x)
	}
	return x
}

// even is that value where neither is beyond its tolerated edge.
func even(a, b *accepts) float64 {
	return (a.inside*a.high + b.inside*b.low) / (a.inside + b.inside)
}

// strained is the same where at a guess one is beyond its tolerated edge.
func strained(a, b *accepts, x float64) float64 {
	weight, sum := a.inside+b.inside, a.inside*a.high+b.inside*b.low
	for over, under := false, false; ; {
		if x > a.tolHigh == over && x < b.tolLow == under {
			return x
		}
		if over || under { // a second guess that does not agree with itself
			return least([]*accepts{a, b}, a.high, b.low)
		}
		over, under = x > a.tolHigh, x < b.tolLow
		w, s := weight, sum
		if over {
			w, s = w+a.beyond, s+a.beyond*a.tolHigh
		}
		if under {
			w, s = w+b.beyond, s+b.beyond*b.tolLow
		}
		x = s / w
	}
}

// middle of a range that may be open below.
func middle(low, high float64) float64 {
	if math.IsInf(low, -1) {
		return max(high/2, 0)
	}
	return (low + high) / 2
}

// least is the value between from and to at which the stress of all together is least: the
// slope rises in straight pieces between the edges of the ranges.
func least(list []*accepts, from, to float64) float64 {
	var few [2 + 4*2]float64 // enough for two
	edges := append(few[:0], from, to)
	for _, w := range list {
		for _, x := range [...]float64{w.low, w.high, w.tolLow, w.tolHigh} {
			if from < x && x < to {
				edges = append(edges, x)
			}
		}
	}
	slices.Sort(edges)
	slope := func(x float64) (s float64) {
		for _, w := range list {
			s += w.slope(x)
		}
		return s
	}
	before := slope(from)
	for i := 1; i < len(edges); i++ {
		after := slope(edges[i])
		if after >= 0 {
			if after-before <= 0 {
				return edges[i]
			}
			return edges[i-1] + (edges[i]-edges[i-1])*-before/(after-before)
		}
		before = after
	}
	return to
}

// BestWater is the value of one parameter at which the stress of several lines together is
// least, and that stress; ok is false where none of them has the range on record. For two
// lines it is the best point of their pairing.
func BestWater(list []*Profile, p species.Parameter) (best, stress float64, ok bool) {
	var known []*accepts
	low, high := math.Inf(-1), math.Inf(1)
	for _, l := range list {
		if w := &l.water[p]; w.known {
			known = append(known, w)
			low, high = max(low, w.low), min(high, w.high)
		}
	}
	switch {
	case len(known) == 0:
		return 0, 0, false
	case low <= high:
		return middle(low, high), 0, true
	}
	best = least(known, high, low)
	for _, w := range known {
		stress += w.stress(best)
	}
	return best, stress, true
}

// paramStress is the stress that one parameter puts on each of the two: at the reading
// where one is given, else at their best common value.
func paramStress(a, b *fish, c *Conditions, p species.Parameter, e end) (onA, onB float64) {
	wa, wb := &a.water[p], &b.water[p]
	if r := &c.Reading[p]; r.Known {
		return stressIfKnown(wa, r.Value, e), stressIfKnown(wb, r.Value, e)
	}
	if !wa.known || !wb.known {
		return unknownStress(e), unknownStress(e)
	}
	var x float64
	switch {
	case wa.low > wb.high:
		x = between(wb, wa)
	case wb.low > wa.high:
		x = between(wa, wb)
	default:
		return 0, 0
	}
	return wa.stress(x), wb.stress(x)
}

func stressIfKnown(w *accepts, x float64, e end) float64 {
	if !w.known {
		return unknownStress(e)
	}
	return w.stress(x)
}

// unknownEdge is the stress of a parameter whose range is not recorded, at the harsher end.
const unknownEdge = 0.3

func unknownStress(e end) float64 {
	if e == harsher {
		return unknownEdge
	}
	return 0
}

// waterHazard is the hazard of sharing one body of water: what it does to each of the
// two. Acidity and hardness are two faces of the same dissolved minerals, so the worse
// of them counts once; a kind among its own counts once too.
func (m *Model) waterHazard(a, b *fish, c *Conditions, e end, own bool) float64 {
	tA, tB := paramStress(a, b, c, species.Temperature, e)
	acidA, acidB := paramStress(a, b, c, species.PH, e)
	hardA, hardB := paramStress(a, b, c, species.Hardness, e)
	saltA, saltB := paramStress(a, b, c, species.Salinity, e)
	if own {
		return max(tA+max(acidA, hardA)+saltA, tB+max(acidB, hardB)+saltB)
	}
	return m.seasonHazard(a, b) + tA + tB + max(acidA+acidB, hardA+hardB) + saltA + saltB
}

// seasonHazard is that of a cool season missed.
func (m *Model) seasonHazard(a, b *fish) float64 {
	return m.w.Season * max(a.cool*b.warm, b.cool*a.warm)
}

// WaterRelief is the part of the hazard of a pairing in the best common water that comes of some parameters alone, so
// that without it the rest can be judged: 0 for one's own kind and for kinds that need no compromise in them.
func (m *Model) WaterRelief(a, b *Profile, settled *[species.NumParameters]bool) float64 {
	x, y := &a.fish, &b.fish
	if x.oneKind(&y.kind) {
		return 0
	}
	var each [species.NumParameters]float64
	for p := range each {
		onA, onB := paramStress(x, y, &Conditions{}, species.Parameter(p), typical)
		each[p] = onA + onB
	}
	each[species.Temperature] += m.w.Season * max(x.cool*y.warm, y.cool*x.warm)
	sum := func() float64 {
		return each[species.Temperature] + max(each[species.PH], each[species.Hardness]) + each[species.Salinity]
	}
	whole := sum()
	for p := range each {
		if settled[p] {
			each[p] = 0
		}
	}
	return whole - sum()
}

// Relieved is a score without a part of its hazard.
func Relieved(score, relief float64) float64 {
	return 100 * (1 - (1-score/100)*math.Exp(relief))
}

// Window is the shared range of one parameter: what both tolerate and, inside it,
// what both prefer (PreferredOK false when the preferred ranges are apart).
type Window struct {
	Parameter   species.Parameter
	Tolerated   species.Range
	Preferred   species.Range
	PreferredOK bool
	Best        float64 // the value at which the two together are least stressed
}

// SharedWater is the common window of all parameters recorded for both, or ok =
// false with the first parameter whose tolerated ranges are apart. It leaves Best to
// [Model.Explain], which knows the lines.
func SharedWater(a, b *species.Species) (windows []Window, ruledOut species.Parameter, ok bool) {
	ok = true
	for p := range species.Parameter(species.NumParameters) {
		wa, wb := a.Water[p], b.Water[p]
		if !wa.Known() || !wb.Known() {
			continue
		}
		common, meet := wa.Tolerated.Intersect(wb.Tolerated)
		if !meet && ok {
			ruledOut, ok = p, false
		}
		win := Window{Parameter: p, Tolerated: common}
		win.Preferred, win.PreferredOK = wa.Preferred.Intersect(wb.Preferred)
		windows = append(windows, win)
	}
	return windows, ruledOut, ok
}

// sharedWater is [SharedWater] with the best values for the two lines.
func sharedWater(a, b *Profile) (windows []Window, ruledOut species.Parameter, ok bool) {
	windows, ruledOut, ok = SharedWater(a.Species, b.Species)
	for i := range windows {
		w := &windows[i]
		w.Best, _ = compromise(&a.water[w.Parameter], &b.water[w.Parameter])
		if w.Tolerated.Low <= w.Tolerated.High {
			w.Best = clamp(w.Best, w.Tolerated.Low, w.Tolerated.High)
		}
	}
	return windows, ruledOut, ok
}
