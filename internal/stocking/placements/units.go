package placements

import (
	"math"
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/stocking"
)

// placing places arrivals in tanks.
type placing struct {
	book     *conflict.Book
	o        Options
	wanted   conflict.Level
	arrivals []Arrival
	ready    []stocking.Resident // the arrivals, each by itself
	units    []unit
	tanks    []adopterTank
	alike    []int // tanks of one number are alike in everything
	alone    [][]trial
	ended    bool                // the budget ended before every arrival was tried in every tank
	tried    map[sharing]float64 // harm of several units in one tank
	asked    map[int]bool        // kinds that some tank asks for
	found    assignment
}

// unit is what goes to one tank together.
type unit struct {
	refs   []int
	weight float64
	// kin is set where another unit has fish of the same species: the company of its own
	// kind may then make a tank kinder than it is to the unit alone.
	kin bool
}

// adopterTank is one tank.
type adopterTank struct {
	Adopter
	base   *stocking.Assessment // with its residents; without pairs where there are none
	before stocking.Decision
}

func newPlacer(book *conflict.Book, arrivals []Arrival, wanted conflict.Level, tanks []Adopter, o Options) *placing {
	p := &placing{book: book, o: o, wanted: min(wanted, conflict.High), arrivals: slices.Clone(arrivals), tried: map[sharing]float64{}}
	for i := range p.arrivals {
		p.arrivals[i].Incoming = true
	}
	p.readArrivals()
	p.readUnits()
	for i := range tanks {
		p.tanks = append(p.tanks, p.adopterTank(tanks[i]))
	}
	p.readAlike()
	p.readAsked()
	return p
}

// readArrivals makes each arrival ready by itself.
func (p *placing) readArrivals() {
	for i := range p.arrivals {
		l := p.arrivals[i].Line
		l.Refs = []int{i}
		j := stocking.NewAssessment(p.book, &stocking.Stock{Lines: []stocking.Line{l}, Wanted: p.wanted, Region: p.o.Region, Budget: p.o.Budget})
		p.ready = append(p.ready, j.Lines[0])
	}
}

// readUnits joins what goes together, by first position.
func (p *placing) readUnits() {
	root := make([]int, len(p.arrivals))
	for i := range root {
		root[i] = i
		for k := range i {
			if root[k] != root[i] && p.together(i, k) {
				merge := max(root[i], root[k])
				into := min(root[i], root[k])
				for n := range i + 1 {
					if root[n] == merge {
						root[n] = into
					}
				}
			}
		}
	}
	at := map[int]int{}
	for i, r := range root {
		if _, ok := at[r]; !ok {
			at[r] = len(p.units)
			p.units = append(p.units, unit{})
		}
		u := &p.units[at[r]]
		u.refs = append(u.refs, i)
		u.weight += max(p.ready[i].Weight, leastWeight)
	}
	p.findKin()
}

// leastWeight is the least that a line counts for when not all find a place.
const leastWeight = 1e-6

func (p *placing) together(i, k int) bool {
	a, b := &p.arrivals[i], &p.arrivals[k]
	if a.Together != "" && a.Together == b.Together {
		return true
	}
	return a.Index == b.Index && stocking.Shoals(p.ready[i].Species)
}

func (p *placing) findKin() {
	home := map[int]int{} // of a species: its first unit
	for u := range p.units {
		for _, i := range p.units[u].refs {
			if first, ok := home[p.arrivals[i].Index]; ok && first != u {
				p.units[u].kin, p.units[first].kin = true, true
			} else {
				home[p.arrivals[i].Index] = u
			}
		}
	}
}

// adopterTank judges a tank as it is.
func (p *placing) adopterTank(a Adopter) adopterTank {
	lines := slices.Clone(a.Lines)
	for i := range lines {
		lines[i].Incoming, lines[i].Refs = false, []int{i}
	}
	b := adopterTank{Adopter: a, base: stocking.NewAssessment(p.book, &stocking.Stock{Lines: lines, Tank: a.Tank, Wanted: p.wanted, Region: p.o.Region, Budget: p.o.Budget})}
	if len(lines) > 0 {
		b.before = b.base.Judge()
	}
	return b
}

// readAlike numbers the tanks by what they are and hold.
func (p *placing) readAlike() {
	first := map[stocking.TankKey][]int{}
	p.alike = make([]int, len(p.tanks))
	for t := range p.tanks {
		p.alike[t] = t
		var key stocking.TankKey
		if tank := p.tanks[t].Tank; tank != nil {
			key = stocking.KeyOf(tank)
		}
		for _, f := range first[key] {
			if p.sameStock(f, t) {
				p.alike[t] = f
				break
			}
		}
		if p.alike[t] == t {
			first[key] = append(first[key], t)
		}
	}
}

func (p *placing) sameStock(a, b int) bool {
	return (p.tanks[a].Tank == nil) == (p.tanks[b].Tank == nil) && p.tanks[a].Wishes.same(&p.tanks[b].Wishes) &&
		slices.EqualFunc(p.tanks[a].base.Lines, p.tanks[b].base.Lines, func(x, y stocking.Resident) bool {
			return x.Count == y.Count && stocking.CompareLines(&x.Line, &y.Line) == 0
		})
}

// joining is a tank with arrivals in it, made ready: in canonical order, those that came
// marked as incoming. Where no species is on both sides, nothing is read anew.
func (p *placing) joining(t int, refs []int) *stocking.Assessment {
	b := &p.tanks[t]
	if p.mixes(b, refs) {
		s := stocking.Stock{Tank: b.Tank, Wanted: p.wanted, Region: p.o.Region, Budget: p.o.Budget}
		for i := range b.base.Lines {
			s.Lines = append(s.Lines, b.base.Lines[i].Line)
		}
		for _, r := range refs {
			l := p.arrivals[r].Line
			l.Refs = []int{len(b.Lines) + r}
			s.Lines = append(s.Lines, l)
		}
		return stocking.NewAssessment(p.book, &s)
	}
	joining := make([]stocking.Resident, len(refs))
	for k, r := range refs {
		joining[k] = p.ready[r]
		joining[k].Refs = []int{len(b.Lines) + r}
	}
	return b.base.JoinedBy(joining...)
}

// mixes reports whether some species would have several lines of which an arrival is one.
func (p *placing) mixes(b *adopterTank, refs []int) bool {
	for k, r := range refs {
		index := p.arrivals[r].Index
		if slices.ContainsFunc(refs[:k], func(o int) bool { return p.arrivals[o].Index == index }) ||
			slices.ContainsFunc(b.base.Lines, func(o stocking.Resident) bool { return o.Index == index }) {
			return true
		}
	}
	return false
}

// trial is one unit alone in one tank.
type trial struct {
	harm     float64 // +Inf where it cannot go there
	advice   float64 // the part of harm that stands for advice
	wish     float64 // the part of harm that stands for wishes
	skipped  bool    // the budget did not allow it
	refused  bool    // its keeper does not take it, whatever else stands against it
	worst    float64 // its worst pairing
	decision stocking.Decision
}

func (x *trial) fits() bool { return !math.IsInf(x.harm, 1) }
