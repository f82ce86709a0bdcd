package stocking

import (
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/stocking/graph"
)

// split divides one list over tanks. What is never parted is a unit: a line, or all
// lines of a species that lives in company.
type split struct {
	*judging          // the whole list, without a tank
	given    *judging // the same before any line was given more ground
	plain    bool     // only lines, sizes and decisions are wanted
	units    [][]int
	all      graph.Set // every line
	grounds  [numMoments]grounds
	cautions cautionList
	out      Groupings
}

// newSplit prepares the list and finds its units.
//
// Where a species that does not shoal has several lines, each may come to stand alone or
// beside some of the others, and its share of the ground differs with that. It is given
// the most ground that any company makes it defend, so that whether a group fits never
// depends on lines elsewhere, and a part of a group that fits, fits.
func newSplit(book *conflict.Book, s *Stock) *split {
	sp := &split{judging: prepare(book, s)}
	sp.given = &judging{lines: slices.Clone(sp.lines)}
	sp.out.Wanted, sp.out.Lines = sp.wanted, make([]Line, len(sp.lines))
	sp.ground = 0
	for i := range sp.lines {
		r := &sp.lines[i]
		sp.out.Lines[i] = r.Line
		switch {
		case !shoals(r.species):
			sp.units = append(sp.units, []int{i})
			sp.widen(r)
		case r.kind == i:
			sp.units = append(sp.units, nil)
			fallthrough
		default:
			last := &sp.units[len(sp.units)-1]
			*last = append(*last, i)
		}
		sp.ground += r.ground
		sp.all.Add(i)
	}
	sp.foreseeGround()
	return sp
}

// widen gives a line the most ground that it may have to defend.
func (sp *split) widen(r *resident) {
	if r.company == r.heads {
		return
	}
	alone, widest := profileIn(r, r.heads), r.company
	best := alone.Ground()
	for c := r.heads; c <= r.company; c++ {
		if g := alone.InNumbers(r.heads, c).Ground(); g > best || c == r.heads {
			best, widest = max(best, g), c
		}
	}
	changed := r.ordinary != r.profile
	r.company = widest
	r.profile = profileIn(r, widest)
	if changed {
		r.ordinary = r.ordinary.InNumbers(r.heads, widest)
	} else {
		r.ordinary = r.profile
	}
	r.ground = r.profile.Ground()
}

// profileIn is the line as one of so many fish of its kind.
func profileIn(r *resident, company int) *conflict.Profile {
	return r.profile.InNumbers(r.heads, company)
}

// only is the list with only some lines, in ascending order, in a tank, the fish
// prepared as they stand in the whole list; not yet judged.
func (sp *split) only(tank *Tank, lines []int) *judging {
	j := &judging{book: sp.book, tank: tank, wanted: sp.wanted, lines: make([]resident, len(lines))}
	for k, i := range lines {
		r := &j.lines[k]
		*r = sp.lines[i]
		r.kind = k
		if k > 0 && j.lines[k-1].Index == r.Index {
			r.kind = j.lines[k-1].kind
		}
		j.ground += r.ground
	}
	return j
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
			w[u] += max(sp.lines[i].Weight, 1e-6)
		}
		w[u] = min(w[u], graph.MaxWeight)
	}
	return w
}
