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
	given                *stocking.Assessment // the same with the ground that each line has in the whole list
	kindest              *split               // the same with the least ground of each line; nil where there is no other
	plain                bool                 // only lines, sizes and decisions are wanted
	units                [][]int
	all                  graph.Set // every line
	grounds              [numMoments]grounds
	cautions             stocking.CautionList
	parted               map[[2]int]bool // lines that are not put together again, whatever the tank
	largest, before      *candidateTank  // the largest tank as it was tried, and as another split of the list tried it
	home                 *stocking.Tank  // of the residents, where they stay together
	together             bool            // the residents are one unit
	cramped              bool            // the residents together find no tank that they do not crowd
	ended                bool            // the budget ended before all was tried that was asked for
	out                  Groupings
}

// newSplit prepares the list and finds its units.
//
// Where a species that does not shoal has several lines, each may come to stand alone or
// beside some of the others, and its share of the ground differs with that. It is given
// the most ground that any company makes it defend: what fits then fits in truth, and a
// part of it fits too. Given the least, what does not fit does not in truth. Between the
// two, a group is judged as it is.
func newSplit(book *conflict.Book, s *stocking.Stock) *split {
	sp := &split{Assessment: stocking.NewAssessmentFrom(book, s, s.Ready)}
	sp.Together = true
	sp.given = sp.In(nil)
	sp.given.Lines = slices.Clone(sp.Lines)
	sp.out.Wanted, sp.out.Lines = sp.Wanted, make([]stocking.Line, len(sp.Lines))
	for i := range sp.Lines {
		r := &sp.Lines[i]
		sp.out.Lines[i] = r.Line
		sp.all.Add(i)
		if !stocking.Shoals(r.Species) || r.Kind == i {
			sp.units = append(sp.units, nil)
		}
		last := &sp.units[len(sp.units)-1]
		*last = append(*last, i)
	}
	if slices.ContainsFunc(sp.Lines, varies) {
		sp.kindest = &split{Assessment: stocking.NewAssessmentFrom(book, s, sp.given), units: sp.units, all: sp.all}
		sp.kindest.setGround(func(ground, than float64) bool { return ground < than })
	}
	sp.setGround(func(ground, than float64) bool { return ground > than })
	return sp
}

// mergeResidents makes one unit of those that live in a tank, home, with what is of their shoals.
func (sp *split) mergeResidents(home *stocking.Tank) {
	first := -1
	units := sp.units[:0]
	for _, u := range sp.units {
		lives := slices.ContainsFunc(u, func(i int) bool { return !sp.Lines[i].Incoming })
		switch {
		case !lives:
			units = append(units, u)
		case first < 0:
			first = len(units)
			units = append(units, u)
		default:
			units[first] = append(slices.Clone(units[first]), u...)
		}
	}
	slices.Sort(units[first])
	sp.units, sp.home, sp.together = units, home, true
	if sp.kindest != nil {
		sp.kindest.units, sp.kindest.together = units, true
	}
}

// varies reports whether a line's ground depends on which lines of its kind are beside it.
func varies(r stocking.Resident) bool { return !stocking.Shoals(r.Species) && r.Company != r.Fish }

// setGround gives each line that varies the most ground, or the least, as more says, that
// it may have to defend.
func (sp *split) setGround(more func(ground, than float64) bool) {
	sp.Ground = 0
	for i := range sp.Lines {
		if r := &sp.Lines[i]; varies(*r) {
			inCompany(r, chosenCompany(r, more))
		}
		sp.Ground += sp.Lines[i].Ground
	}
	sp.foreseeGround()
}

// chosenCompany is the number of fish of its kind among which a line has the most ground,
// or the least.
func chosenCompany(r *stocking.Resident, more func(ground, than float64) bool) int {
	best, chosen := profileIn(r, r.Fish).Ground(), r.Fish
	for c := r.Fish + 1; c <= r.Company; c++ {
		if g := profileIn(r, c).Ground(); more(g, best) {
			best, chosen = g, c
		}
	}
	return chosen
}

// inCompany makes a line one of so many fish of its kind.
func inCompany(r *stocking.Resident, company int) {
	observed := r.Ordinary != r.Profile
	r.Company = company
	r.Become(profileIn(r, company))
	if observed {
		r.Ordinary = r.Ordinary.InNumbers(r.Fish, company)
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
	return sp.appendLines(make([]int, 0, units.Len()), units)
}

func (sp *split) appendLines(lines []int, units graph.Set) []int {
	for u := units.Next(0); u >= 0; u = units.Next(u + 1) {
		lines = append(lines, sp.units[u]...)
	}
	if sp.together { // its lines need not stand one after the other
		slices.Sort(lines)
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
