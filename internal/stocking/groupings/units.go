package groupings

import (
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/stocking"
	"commensal/internal/stocking/graph"
)

// split divides one list over tanks. What is never parted is a unit: a line, or all
// lines of a species that lives in company.
type split struct {
	*stocking.Assessment                      // the whole list, without a tank
	given                *stocking.Assessment // the same before any line was given more ground
	plain                bool                 // only lines, sizes and decisions are wanted
	units                [][]int
	all                  graph.Set // every line
	grounds              [numMoments]grounds
	cautions             stocking.CautionList
	ended                bool // the budget ended before all was tried that was asked for
	out                  Groupings
}

// newSplit prepares the list and finds its units.
//
// Where a species that does not shoal has several lines, each may come to stand alone or
// beside some of the others, and its share of the ground differs with that. It is given
// the most ground that any company makes it defend, so that whether a group fits never
// depends on lines elsewhere, and a part of a group that fits, fits.
func newSplit(book *conflict.Book, s *stocking.Stock) *split {
	sp := &split{Assessment: stocking.NewAssessment(book, s)}
	sp.given = &stocking.Assessment{Lines: slices.Clone(sp.Lines), Budget: sp.Budget}
	sp.out.Wanted, sp.out.Lines = sp.Wanted, make([]stocking.Line, len(sp.Lines))
	sp.Ground = 0
	for i := range sp.Lines {
		r := &sp.Lines[i]
		sp.out.Lines[i] = r.Line
		switch {
		case !stocking.Shoals(r.Species):
			sp.units = append(sp.units, []int{i})
			sp.widen(r)
		case r.Kind == i:
			sp.units = append(sp.units, nil)
			fallthrough
		default:
			last := &sp.units[len(sp.units)-1]
			*last = append(*last, i)
		}
		sp.Ground += r.Ground
		sp.all.Add(i)
	}
	sp.foreseeGround()
	return sp
}

// widen gives a line the most ground that it may have to defend.
func (sp *split) widen(r *stocking.Resident) {
	if r.Company == r.Fish {
		return
	}
	alone, widest := profileIn(r, r.Fish), r.Company
	best := alone.Ground()
	for c := r.Fish; c <= r.Company; c++ {
		if g := alone.InNumbers(r.Fish, c).Ground(); g > best || c == r.Fish {
			best, widest = max(best, g), c
		}
	}
	changed := r.Ordinary != r.Profile
	r.Company = widest
	r.Profile = profileIn(r, widest)
	if changed {
		r.Ordinary = r.Ordinary.InNumbers(r.Fish, widest)
	} else {
		r.Ordinary = r.Profile
	}
	r.Ground = r.Profile.Ground()
}

// profileIn is the line as one of so many fish of its kind.
func profileIn(r *stocking.Resident, company int) *conflict.Profile {
	return r.Profile.InNumbers(r.Fish, company)
}

// linesOf are the lines of some units, ascending.
func (sp *split) linesOf(units graph.Set) (lines []int) {
	for u := units.Next(0); u >= 0; u = units.Next(u + 1) {
		lines = append(lines, sp.units[u]...)
	}
	return lines
}

// weights are what each unit counts for.
func (sp *split) weights() []float64 {
	w := make([]float64, len(sp.units))
	for u, lines := range sp.units {
		for _, i := range lines {
			w[u] += max(sp.Lines[i].Weight, 1e-6)
		}
		w[u] = min(w[u], graph.MaxWeight)
	}
	return w
}
