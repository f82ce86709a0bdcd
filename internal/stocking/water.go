package stocking

import (
	"commensal/internal/conflict"
	"commensal/internal/species"
)

// extremes are the lines that bound one parameter for the whole list.
type extremes struct {
	low, high       int // low has the least tolerated high, high the greatest tolerated low
	tolerated       species.Range
	preferred       species.Range
	known           bool
	toleratedExists bool
}

// extremesOf intersects the tolerated and the preferred ranges of all lines. By Helly's
// theorem in one dimension the whole list has a common value exactly when every two
// lines have one, so the two extreme lines prove it when there is none.
func (j *judging) extremesOf(p species.Parameter) (e extremes) {
	for i := range j.lines {
		w := &j.lines[i].species.Water[p]
		switch {
		case !w.Known():
			continue
		case !e.known:
			e = extremes{low: i, high: i, tolerated: w.Tolerated, preferred: w.Preferred, known: true}
			continue
		}
		if w.Tolerated.High < e.tolerated.High {
			e.low, e.tolerated.High = i, w.Tolerated.High
		}
		if w.Tolerated.Low > e.tolerated.Low {
			e.high, e.tolerated.Low = i, w.Tolerated.Low
		}
		e.preferred, _ = e.preferred.Intersect(w.Preferred)
	}
	e.toleratedExists = e.known && e.tolerated.Low <= e.tolerated.High
	return e
}

// waterApart lists the parameters that no value suits.
func (j *judging) waterApart() (out []WaterApart) {
	for p := range species.Parameter(species.NumParameters) {
		e := j.extremesOf(p)
		if !e.known || e.toleratedExists {
			continue
		}
		out = append(out, WaterApart{
			Parameter: p, Low: e.low, High: e.high,
			LowRange:   j.lines[e.low].species.Water[p].Tolerated,
			HighRange:  j.lines[e.high].species.Water[p].Tolerated,
			Difference: e.tolerated.Low - e.tolerated.High,
		})
	}
	return out
}

// sharedWater is the window of the whole list.
func (j *judging) sharedWater() SharedWater {
	out := SharedWater{OK: len(j.apart) == 0, Apart: j.apart}
	list := make([]*conflict.Profile, len(j.lines))
	for i := range j.lines {
		list[i] = j.lines[i].profile
	}
	for p := range species.Parameter(species.NumParameters) {
		e := j.extremesOf(p)
		if !e.known {
			continue
		}
		w := conflict.Window{Parameter: p, Tolerated: e.tolerated, Preferred: e.preferred}
		w.PreferredOK = e.preferred.Low <= e.preferred.High
		w.Best, _, _ = conflict.BestWater(list, p)
		if e.toleratedExists {
			w.Best = min(max(w.Best, e.tolerated.Low), e.tolerated.High)
		}
		out.Windows = append(out.Windows, w)
	}
	return out
}

// disjoint reports whether two lines have no water in common in some parameter.
func disjoint(a, b *species.Species) bool {
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
