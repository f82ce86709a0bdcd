package stocking

import (
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

// ReadingSeverity is how grave a reading is for a species: a stop outside the tolerated
// range, advice outside the preferred one, Note where there is nothing to say. Both ranges
// are closed: a reading on the edge is inside.
func ReadingSeverity(r conflict.Reading, w *species.WaterRange) Severity {
	switch {
	case !r.Known || !w.Known() || w.Preferred.Contains(r.Value):
		return Note
	case w.Tolerated.Contains(r.Value):
		return Advice
	}
	return Stop
}
