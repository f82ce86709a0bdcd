package stocking

import (
	"cmp"
	"math"
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// placer places arrivals in tanks.
type placer struct {
	book     *conflict.Book
	o        PlacementOptions
	wanted   conflict.Level
	arrivals []Arrival
	ready    []resident // the arrivals, each by itself
	units    []unit
	berths   []berth
	alike    []int // tanks of one number are alike in everything
	alone    [][]trialIn
	tried    map[stay]float64 // harm of several units in one tank
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

// berth is one tank.
type berth struct {
	Adopter
	base   *judging // with its residents; without pairs where there are none
	before Decision
}

func newPlacer(book *conflict.Book, arrivals []Arrival, wanted conflict.Level, tanks []Adopter, o PlacementOptions) *placer {
	p := &placer{book: book, o: o, wanted: min(wanted, conflict.High), arrivals: slices.Clone(arrivals), tried: map[stay]float64{}}
	for i := range p.arrivals {
		p.arrivals[i].Incoming = true
	}
	p.readArrivals()
	p.readUnits()
	for i := range tanks {
		p.berths = append(p.berths, p.berth(tanks[i]))
	}
	p.readAlike()
	return p
}

// readArrivals makes each arrival ready by itself.
func (p *placer) readArrivals() {
	for i := range p.arrivals {
		l := p.arrivals[i].Line
		l.Refs = []int{i}
		j := prepare(p.book, &Stock{Lines: []Line{l}, Wanted: p.wanted})
		p.ready = append(p.ready, j.lines[0])
	}
}

// readUnits joins what goes together, by first position.
func (p *placer) readUnits() {
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

func (p *placer) together(i, k int) bool {
	a, b := &p.arrivals[i], &p.arrivals[k]
	if a.Together != "" && a.Together == b.Together {
		return true
	}
	return a.Index == b.Index && shoals(p.ready[i].species)
}

func (p *placer) findKin() {
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

// berth judges a tank as it is.
func (p *placer) berth(a Adopter) berth {
	lines := slices.Clone(a.Lines)
	for i := range lines {
		lines[i].Incoming, lines[i].Refs = false, []int{i}
	}
	b := berth{Adopter: a, base: prepare(p.book, &Stock{Lines: lines, Tank: a.Tank, Wanted: p.wanted})}
	if len(lines) > 0 {
		b.before = b.base.judge()
	}
	return b
}

// readAlike numbers the tanks by what they are and hold.
func (p *placer) readAlike() {
	first := map[tankKey][]int{}
	p.alike = make([]int, len(p.berths))
	for t := range p.berths {
		p.alike[t] = t
		var key tankKey
		if tank := p.berths[t].Tank; tank != nil {
			key = keyOfTank(tank)
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

func (p *placer) sameStock(a, b int) bool {
	return (p.berths[a].Tank == nil) == (p.berths[b].Tank == nil) &&
		slices.EqualFunc(p.berths[a].base.lines, p.berths[b].base.lines, func(x, y resident) bool {
			return x.Count == y.Count && compareKind(&x.Line, &y.Line) == 0
		})
}

// joining is a tank with arrivals in it, made ready: in canonical order, those that came
// marked as incoming. Where no species is on both sides, nothing is read anew.
func (p *placer) joining(t int, refs []int) *judging {
	b := &p.berths[t]
	if p.mixes(b, refs) {
		s := Stock{Tank: b.Tank, Wanted: p.wanted}
		for i := range b.base.lines {
			s.Lines = append(s.Lines, b.base.lines[i].Line)
		}
		for _, r := range refs {
			l := p.arrivals[r].Line
			l.Refs = []int{len(b.Lines) + r}
			s.Lines = append(s.Lines, l)
		}
		return prepare(p.book, &s)
	}
	j := &judging{book: p.book, tank: b.Tank, wanted: p.wanted, ground: b.base.ground,
		lines: append(make([]resident, 0, len(b.base.lines)+len(refs)), b.base.lines...)}
	for _, r := range refs {
		own := p.ready[r]
		own.Refs = []int{len(b.Lines) + r}
		j.lines = append(j.lines, own)
		j.ground += own.ground
	}
	slices.SortStableFunc(j.lines, func(x, y resident) int { return cmp.Compare(x.Index, y.Index) })
	j.renumber()
	return j
}

// mixes reports whether some species would have several lines of which an arrival is one.
func (p *placer) mixes(b *berth, refs []int) bool {
	for k, r := range refs {
		index := p.arrivals[r].Index
		if slices.ContainsFunc(refs[:k], func(o int) bool { return p.arrivals[o].Index == index }) ||
			slices.ContainsFunc(b.base.lines, func(o resident) bool { return o.Index == index }) {
			return true
		}
	}
	return false
}

// renumber finds the first line of each species anew.
func (j *judging) renumber() {
	for i := range j.lines {
		j.lines[i].kind = i
		if i > 0 && j.lines[i-1].Index == j.lines[i].Index {
			j.lines[i].kind = j.lines[i-1].kind
		}
	}
}

// trialIn is one unit alone in one tank.
type trialIn struct {
	harm     float64 // +Inf where it cannot go there
	advice   float64 // the part of harm that stands for advice
	worst    float64 // its worst pairing
	decision Decision
}

func (x *trialIn) fits() bool { return !math.IsInf(x.harm, 1) }

// disjointFrom reports a line whose water a species cannot live in.
func (j *judging) disjointFrom(sp *species.Species) bool {
	return slices.ContainsFunc(j.lines, func(r resident) bool { return disjoint(r.species, sp) })
}
