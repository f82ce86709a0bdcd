package stocking

import (
	"math"
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// WaterLimits are the lines that bound one parameter for the whole list.
type WaterLimits struct {
	Low, High int // low has the least tolerated high, high the greatest tolerated low
	Tolerated species.Range
	Preferred species.Range
	Known     bool
	Meet      bool
}

// WaterLimits intersects the tolerated and the preferred ranges of all lines. By Helly's
// theorem in one dimension the whole list has a common value exactly when every two
// lines have one, so the two extreme lines prove it when there is none.
func (j *Assessment) WaterLimits(p species.Parameter) (e WaterLimits) {
	for i := range j.Lines {
		w := &j.Lines[i].Species.Water[p]
		switch {
		case !w.Known():
			continue
		case !e.Known:
			e = WaterLimits{Low: i, High: i, Tolerated: w.Tolerated, Preferred: w.Preferred, Known: true}
			continue
		}
		if w.Tolerated.High < e.Tolerated.High {
			e.Low, e.Tolerated.High = i, w.Tolerated.High
		}
		if w.Tolerated.Low > e.Tolerated.Low {
			e.High, e.Tolerated.Low = i, w.Tolerated.Low
		}
		e.Preferred, _ = e.Preferred.Intersect(w.Preferred)
	}
	e.Meet = e.Known && e.Tolerated.Low <= e.Tolerated.High
	return e
}

// waterApart lists the parameters that no value suits.
func (j *Assessment) waterApart() (out []WaterApart) {
	for p := range species.Parameter(species.NumParameters) {
		e := j.WaterLimits(p)
		if !e.Known || e.Meet {
			continue
		}
		out = append(out, WaterApart{
			Parameter: p, Low: e.Low, High: e.High,
			LowRange:   j.Lines[e.Low].Species.Water[p].Tolerated,
			HighRange:  j.Lines[e.High].Species.Water[p].Tolerated,
			Difference: e.Tolerated.Low - e.Tolerated.High,
		})
	}
	return out
}

// SharedWater is the window of the whole list.
func (j *Assessment) SharedWater() SharedWater {
	out := SharedWater{OK: len(j.apart) == 0, Apart: j.apart}
	list := make([]*conflict.Profile, len(j.Lines))
	for i := range j.Lines {
		list[i] = j.Lines[i].Profile
	}
	for p := range species.Parameter(species.NumParameters) {
		e := j.WaterLimits(p)
		if !e.Known {
			continue
		}
		w := conflict.Window{Parameter: p, Tolerated: e.Tolerated, Preferred: e.Preferred}
		w.PreferredOK = e.Preferred.Low <= e.Preferred.High
		w.Best, _, _ = conflict.BestWater(list, p)
		if e.Meet {
			w.Best = min(max(w.Best, e.Tolerated.Low), e.Tolerated.High)
		}
		out.Windows = append(out.Windows, w)
	}
	return out
}

// WatersApart reports whether two lines have no water in common in some parameter.
func WatersApart(a, b *species.Species) bool {
	for p := range a.Water {
		wa, wb := &a.Water[p], &b.Water[p]
		if !wa.Known() || !wb.Known() {
			continue
		}
		if _, ok := wa.Tolerated.Intersect(wb.Tolerated); !ok {
			return true
		}
	}
	return false
}

// SharesNoWater reports a line whose water a species cannot live in.
func (j *Assessment) SharesNoWater(sp *species.Species) bool {
	return slices.ContainsFunc(j.Lines, func(r Resident) bool { return WatersApart(r.Species, sp) })
}

const (
	// nearLimit is how far between the preferred and the tolerated edge a reading must be, as a share,
	// to be near the limit: advice, while nearer to comfort it is a note. Common practice, no source.
	nearLimit = 0.7
	// strainedTogether is the sum of such shares over all parameters that makes advice of notes.
	strainedTogether = 1.0
)

// ReadingsOf is how grave each reading is for a line: a stop outside the tolerated range; outside the
// preferred one a note, and advice near the limit or where several parameters strain the fish
// together; Note also for one that suits it. The ranges are closed: a reading on the edge is inside.
func (j *Assessment) ReadingsOf(i int) (out [species.NumParameters]Severity) {
	var strains [species.NumParameters]float64
	together := 0.0
	for p := range strains {
		strains[p] = j.strain(i, species.Parameter(p))
		together += strains[p]
	}
	for p, share := range strains {
		switch {
		case share > 1:
			out[p] = Stop
		case share >= nearLimit || share > 0 && together >= strainedTogether:
			out[p] = Advice
		}
	}
	return out
}

// strain is how far a reading is from what a species prefers to the edge of what it tolerates, as a
// share: 0 in comfort, infinite beyond what it tolerates.
func (j *Assessment) strain(i int, p species.Parameter) float64 {
	r, w := j.Reading(p), &j.Lines[i].Species.Water[p]
	switch {
	case !r.Known || !w.Known() || w.Preferred.Contains(r.Value) || j.shownInside(p, w.Preferred):
		return 0
	case !w.Tolerated.Contains(r.Value):
		return math.Inf(1)
	case r.Value > w.Preferred.High:
		return (r.Value - w.Preferred.High) / (w.Tolerated.High - w.Preferred.High)
	}
	return (w.Preferred.Low - r.Value) / (w.Preferred.Low - w.Tolerated.Low)
}

// shownInside reports a reading that is outside a range by less than the figures of a sentence
// show: nobody reads that 27 °C is outside 22 to 27 °C.
func (j *Assessment) shownInside(p species.Parameter, r species.Range) bool {
	x := shown(p, j.Reading(p).Value)
	return shown(p, r.Low) <= x && x <= shown(p, r.High)
}

// shown is a value as sentences round it.
func shown(p species.Parameter, v float64) float64 {
	if p == species.PH || v < 10 {
		return math.Round(v*10) / 10
	}
	return math.Round(v)
}
