package conflict

import (
	"math"
	"runtime"
	"slices"
	"sync"

	"commensal/internal/species"
)

// One line of fish against every species of the catalogue: what rankings and additions ask. The
// formulas are those of every pairing; how they are laid out is in columns.go.

// apiece is how many species one processor takes at a time; fewer are not worth parting.
const apiece = 2048

// Against is the score of a line of fish, first, with every species of the book as a customary
// group of adults, second, in order of the snapshot: what [Model.Value] is of each under
// [ConditionsFor] the tank, to the bit. Tank may be nil. The scores are written over out, which
// is grown where it is too short; all processors share the work of a long catalogue.
func (b *Book) Against(p *Profile, tank *Tank, out []float64) []float64 {
	n := len(b.kinds)
	out = slices.Grow(out[:0], n)[:n]
	s := b.sideOf(p, ConditionsFor(p, p, tank))
	inParts(n, apiece, func(from, to int) { s.scores(out, from, to) })
	return out
}

// kept is what others worked out of the kinds of a book.
type kept struct {
	sync.Mutex
	made map[any]func() any
}

// Keep is what build makes of the kinds of the book, once for the book and for those that differ from it by their law
// alone. The key is of a type of the caller's own. It may be called at any time, by many.
func (b *Book) Keep(key any, build func() any) any {
	b.kept.Lock()
	once, ok := b.kept.made[key]
	if !ok {
		once = sync.OnceValue(build)
		if b.kept.made == nil {
			b.kept.made = map[any]func() any{}
		}
		b.kept.made[key] = once
	}
	b.kept.Unlock()
	return once()
}

// InParts has all processors share the work on so many kinds.
func (b *Book) InParts(do func(from, to int)) { inParts(len(b.kinds), fewKinds, do) }

// inParts has all processors share the work on so many rows, apiece at a time.
func inParts(n, apiece int, do func(from, to int)) {
	if n < 2*apiece {
		do(0, n)
		return
	}
	parts := make(chan int)
	var wait sync.WaitGroup
	for range runtime.GOMAXPROCS(0) {
		wait.Go(func() {
			for from := range parts {
				do(from, min(from+apiece, n))
			}
		})
	}
	for from := 0; from < n; from += apiece {
		parts <- from
	}
	close(parts)
	wait.Wait()
}

// AtLeast is for each species of the book, in order of the snapshot, a score that the worst of its pairings with some of
// the lines reaches, within 1e-9, however many of it join them. It looks at the few lines that tell most, and costs a
// fraction of what all of the scores do. The bounds are written over out, which is grown where it is too short.
func (w *Beside) AtLeast(lines []int, out []float64) []float64 {
	n := len(w.book.kinds)
	out = slices.Grow(out[:0], n)[:n]
	var sides []*side
	for _, l := range lines {
		sides = append(sides, &w.alone[l])
	}
	if sides = telling(sides, n); len(sides) == 0 {
		clear(out)
		return out
	}
	inParts(n, apiece/len(sides), func(from, to int) { atLeast(sides, out, from, to) })
	return out
}

// How many lines are asked for bounds, and how many species each is tried on, in two places.
const tellingLines, triedRows = 3, 16

// telling are the lines that tell most of the worst pairing of a few species.
func telling(sides []*side, n int) (some []*side) {
	if len(sides) <= tellingLines {
		return sides
	}
	tried := min(triedRows, n/2)
	hazards := make([][]float64, len(sides))
	var w sumsOf
	for i, s := range sides {
		hazards[i] = make([]float64, 2*tried)
		for part := range 2 {
			w.from, w.n = (part+1)*n/3, min(tried, n-(part+1)*n/3)
			s.raise(&w, hazards[i][part*tried:])
		}
	}
	worst := make([]float64, 2*tried)
	for range tellingLines {
		best, most := 0, -1.0
		for i, list := range hazards {
			gain := 0.0
			for k, h := range list {
				gain += max(0, min(h, 1)-worst[k])
			}
			if gain > most {
				best, most = i, gain
			}
		}
		if most == 0 && len(some) > 0 {
			break
		}
		for k, h := range hazards[best] {
			worst[k] = max(worst[k], min(h, 1))
		}
		some = append(some, sides[best])
	}
	return some
}

// atLeast fills in the rows from one on up to another.
func atLeast(sides []*side, out []float64, from, to int) {
	var w sumsOf
	var hazards [block]float64
	for ; from < to; from += block {
		w.from, w.n = from, min(block, to-from)
		clear(hazards[:])
		for _, s := range sides {
			s.raise(&w, hazards[:])
		}
		s := sides[0]
		for k, at := range s.cols.order[from:][:w.n] {
			q, cramped := &s.cols.berths[from+k], 0.0
			if !s.c.ReferenceTank {
				cramped = s.m.cramped(q, q, &s.c)
			}
			out[at] = 100 * risk(hazards[k]+cramped)
		}
	}
}

// raise raises hazards to what there is at least with the rows of a block, the tank below the minimum left out. Of
// relations it says nothing.
func (s *side) raise(w *sumsOf, hazards []float64) {
	s.gather(w)
	for _, r := range inBlock(s.related, w.from, w.n) {
		k := int(r) - w.from
		w.eating[k], w.clash[k], w.table[k], w.strains[k], w.water[k], w.housing[k] = 0, 0, 0, 0, 0, 0
	}
	calm := math.Exp(-s.m.w.CoverEffect * (s.c.Cover - NormalCover))
	for k, clash := range w.clash[:w.n] {
		room := s.leastRoom(&s.cols.berths[w.from+k], calm)
		hazards[k] = max(hazards[k], w.eating[k]+clash*room+w.table[k]+w.strains[k]+w.water[k]+w.housing[k])
	}
}

// leastRoom is at most what [Model.roomFor] is with a row, however many of it there are, by what the cover leaves.
func (s *side) leastRoom(q *berth, calm float64) float64 {
	floor := max(s.p.tankLength, q.tankLength) * max(s.p.tankWidth, q.tankWidth)
	have := s.c.FootprintCM2()
	if s.c.ReferenceTank {
		have = floor
	}
	ground, usual := s.p.ground()+q.plot+s.c.OthersGroundCM2, s.p.usualGround*s.p.plot+q.usualGround*q.plot
	return clamp(calm*s.cols.powers.least(ground*floor/(usual*max(have, 1))), roomFloor, roomCeiling)
}

// powers are chords of x^exponent, which is concave for an exponent up to 1, and above its chords. There are four to each doubling
// of x, from 2^−powersFrom to 2^powersFrom.
type powers struct {
	slope, at [2 * powersFrom * 4]float64
	most      float64 // at the last knot
}

const (
	powersFrom = 12
	powersBits = 52 - 2 // of a float64 below its exponent and the first two digits
)

func powersOf(exponent float64) *powers {
	var p powers
	knot := func(i int) float64 { return math.Ldexp(1+float64(i%4)/4, i/4-powersFrom) }
	for i := range p.slope {
		x, next := knot(i), knot(i+1)
		y, after := math.Pow(x, exponent), math.Pow(next, exponent)
		p.slope[i] = (after - y) / (next - x)
		p.at[i] = y - p.slope[i]*x
		p.most = after
	}
	return &p
}

// least is at most the power of an x that is not negative.
func (p *powers) least(x float64) float64 {
	i := int(math.Float64bits(x)>>powersBits) - (1023-powersFrom)<<2
	switch {
	case i < 0:
		return 0
	case i >= len(p.slope):
		return p.most
	}
	return p.slope[i]*x + p.at[i]
}

// Group is a line of fish of a kind of the book, which stands at a position in its snapshot.
type Group struct {
	Index int
	Line  *Profile
}

// Beside is lines of fish in a tank, to be scored with some who may join them. It is not safe for concurrent use.
type Beside struct {
	book    *Book
	alone   []side  // the lines with all species of the book
	sides   []side  // the lines with those who join
	index   []int32 // position of each line in the snapshot
	turned  []bool
	joining *columns
	rows    []joinerAt
	sums    sumsOf
}

// joinerAt is one of those who join: its row in the book, and its place among them.
type joinerAt struct{ row, place int32 }

// MostJoiners are made ready at a time; there is room for as many as come mostly.
const MostJoiners, mostly = block, 32

// Beside makes lines ready, which together defend so much ground in cm², in the best common water. Tank may be nil.
func (b *Book) Beside(lines []Group, groundCM2 float64, tank *Tank) *Beside {
	n := len(lines)
	w := &Beside{book: b, joining: newColumns(mostly), alone: make([]side, n), sides: make([]side, n), index: make([]int32, n)}
	for i, l := range lines {
		c := ConditionsFor(l.Line, l.Line, tank)
		c.Reading = [species.NumParameters]Reading{}
		if !c.ReferenceTank {
			c.OthersGroundCM2 = max(0, groundCM2-l.Line.ground())
		}
		w.index[i], w.alone[i] = int32(l.Index), b.sideOf(l.Line, c)
		s := &w.sides[i]
		*s = w.alone[i]
		s.cols, s.related, s.alike, s.ground = w.joining, nil, nil, groundCM2
	}
	return w
}

// Join makes ready who may join, at most [MostJoiners], each alone.
func (w *Beside) Join(joiners []Group) {
	all := w.book.columns()
	w.rows = w.rows[:0]
	for i, j := range joiners {
		w.rows = append(w.rows, joinerAt{all.rows[j.Index], int32(i)})
	}
	slices.SortFunc(w.rows, func(x, y joinerAt) int { return int(x.row - y.row) })
	w.joining.clear()
	for _, r := range w.rows {
		w.joining.add(w.book.Model, joiners[r.place].Line, r.place)
	}
}

// Scores are those of a line with each of the joiners, in their order, the ground of all lines and of the one who joins
// being defended: to the bit what [Model.Value] is of the two, of which the one comes first that comes first in the snapshot.
func (w *Beside) Scores(line int, out []float64) {
	s := &w.sides[line]
	s.related, s.alike = w.among(s.related[:0], w.alone[line].related), w.among(s.alike[:0], w.alone[line].alike)
	w.turned = w.turned[:0]
	all := w.book.columns()
	for _, r := range w.rows {
		w.turned = append(w.turned, all.order[r.row] < w.index[line])
	}
	s.turned = w.turned
	s.scoresIn(&w.sums, out, 0, len(w.rows))
}

// among are those of the rows of a list, in order, who join.
func (w *Beside) among(out, list []int32) []int32 {
	for k, r := range w.rows {
		at, found := slices.BinarySearch(list, r.row)
		if list = list[at:]; len(list) == 0 {
			break
		}
		if found {
			out = append(out, int32(k))
		}
	}
	return out
}

// side is one line of fish that is scored with all species of the catalogue, in a tank or in
// that which is customary for each two.
type side struct {
	m    *Model
	p    *Profile
	cols *columns
	c    Conditions

	brings  entry   // the line, as a row of the columns
	alike   []int32 // rows of its outline, in order
	related []int32 // rows that may be more to it than strangers, in order
	turned  []bool  // by row, that it comes first of the two; nil where the line always does
	ground  float64 // cm² that all lines defend, where the rows join them
}

// entry is a line of fish as the columns would have it.
type entry struct {
	under  underBullies
	temper temper
	pace   pace
	diner  diner
	diet   diet
	housed housed
	water  [species.NumParameters]accepts
}

func (b *Book) sideOf(p *Profile, c Conditions) side {
	s := side{m: b.Model, p: p, cols: b.columns(), c: c, brings: b.Model.rowOf(&p.fish)}
	if p.shape != unnamed {
		s.alike = s.cols.shaped[p.shape]
	}
	more := 0
	for _, w := range p.words {
		more += len(s.cols.related[w])
	}
	s.related = make([]int32, 0, more)
	for _, w := range p.words {
		s.related = append(s.related, s.cols.related[w]...)
	}
	slices.Sort(s.related)
	s.related = slices.Compact(s.related)
	return s
}

func (m *Model) rowOf(f *fish) entry {
	r := entry{under: m.underBullies(f), temper: m.temper(f), pace: f.pace(), diner: f.diner(), diet: m.diet(f), housed: m.housed(f)}
	for p := range f.water {
		r.water[p] = f.water[p].orAnything()
	}
	return r
}

// block is how many rows are worked on at a time: their sums lie in the nearest cache.
const block = 256

// sumsOf are hazards of a line with the rows of a block, gathered by how the tank acts on them.
type sumsOf struct {
	from, n int
	eating  [block]float64
	clash   [block]float64 // with guarding, where the two meet: what the room acts on
	table   [block]float64 // nipping and feeding, where the two meet
	strains [block]float64
	water   [block]float64
	housing [block]float64
	scores  [block]float64 // 0 to 100
}

// scores fills in the scores with the rows from one on up to another.
func (s *side) scores(out []float64, from, to int) {
	var sums sumsOf
	s.scoresIn(&sums, out, from, to)
}

// scoresIn is scores with room to work in.
func (s *side) scoresIn(sums *sumsOf, out []float64, from, to int) {
	for ; from < to; from += block {
		sums.from, sums.n = from, min(block, to-from)
		s.gather(sums)
		order := s.cols.order[from:][:sums.n]
		s.total(sums)
		for k, at := range order {
			out[at] = sums.scores[k]
		}
		for _, r := range inBlock(s.related, from, sums.n) {
			out[s.cols.order[r]] = s.alone(r)
		}
	}
}

// total makes scores of the hazards.
func (s *side) total(w *sumsOf) {
	customary := s.c.ReferenceTank && s.c.Cover == NormalCover && s.p.customary && s.cols.customary && s.c.OthersGroundCM2 == 0
	var small, large [block]uint8
	n, nLarge := 0, 0
	out := w.scores[:w.n]
	for k := range out {
		room, cramped := 1.0, 0.0
		if !customary {
			room, cramped = s.room(&s.cols.berths[w.from+k])
		}
		h := w.eating[k] + w.clash[k]*room + w.table[k] + w.strains[k] + w.water[k] + (cramped + w.housing[k])
		out[k] = h
		small[n], large[nLarge] = uint8(k), uint8(k)
		n += b2i(h < exactBelow)
		nLarge += b2i(!(h < exactBelow))
	}
	for _, k := range small[:n] {
		out[k] = 100 * risk(out[k])
	}
	for _, k := range large[:nLarge] {
		out[k] = 100 * risk(out[k])
	}
}

// room is what the size and the cover of the tank do to a pairing with a row.
func (s *side) room(q *berth) (room, cramped float64) {
	var own Conditions
	c := s.conditions(q, &own)
	return s.m.roomFor(&s.p.berth, q, c, false), s.m.cramped(&s.p.berth, q, c)
}

// conditions are those of a pairing with a row; own is room for those that are not the same for every row.
func (s *side) conditions(q *berth, own *Conditions) *Conditions {
	switch {
	case s.c.ReferenceTank:
		*own = s.c
		own.LengthCM, own.WidthCM = max(s.p.tankLength, q.tankLength), max(s.p.tankWidth, q.tankWidth)
	case s.turned != nil:
		*own = s.c
		joins := q.ground()
		own.OthersGroundCM2 = max(0, s.ground+joins-s.p.ground()-joins)
	default:
		return &s.c
	}
	return own
}

// alone is the score with a row as any pairing has it.
func (s *side) alone(r int32) float64 {
	q := s.cols.kinds[r]
	var own Conditions
	first, second := s.inOrder(int(r))
	return s.m.valueOf(first, second, s.conditions(&q.berth, &own), oneGroup(s.p, q))
}

// inBlock are the rows of a list, in order, that lie in a block.
func inBlock(rows []int32, from, n int) []int32 {
	low, _ := slices.BinarySearch(rows, int32(from))
	high, _ := slices.BinarySearch(rows[low:], int32(from+n))
	return rows[low:][:high]
}
