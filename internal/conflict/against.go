package conflict

import (
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

// Company is a line of fish in a tank, and the ground in cm² that the other lines there defend.
type Company struct {
	Line      *Profile
	OthersCM2 float64
}

// AtLeast is for each species of the book, in order of the snapshot, a score that the worst of its pairings with some
// lines reaches, within 1e-9, however many of it join them in a tank, in the best common water. Tank may be nil. It
// looks at the few lines that tell most, and costs a fraction of what all of the scores do.
func (b *Book) AtLeast(lines []Company, tank *Tank, out []float64) []float64 {
	n := len(b.kinds)
	out = slices.Grow(out[:0], n)[:n]
	sides := make([]*side, len(lines))
	for i, l := range lines {
		c := ConditionsFor(l.Line, l.Line, tank)
		c.Reading, c.OthersGroundCM2 = [species.NumParameters]Reading{}, l.OthersCM2
		sides[i] = b.sideOf(l.Line, c)
	}
	if sides = telling(sides, n); len(sides) == 0 {
		clear(out)
		return out
	}
	inParts(n, apiece/len(sides), func(from, to int) { atLeast(sides, out, from, to) })
	return out
}

// How many lines are asked for bounds, and how many species each is tried on, in two places.
const tellingLines, triedRows = 3, 32

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

// A hazard of aggression up to slight, or beside hazards above plain, is not worth a close look at the room.
const slight, plain = 0.05, 1.5

// raise raises hazards to what there is at least with the rows of a block, the tank below the minimum left out. Of
// relations it says nothing.
func (s *side) raise(w *sumsOf, hazards []float64) {
	s.gather(w)
	for _, r := range inBlock(s.related, w.from, w.n) {
		k := int(r) - w.from
		w.eating[k], w.clash[k], w.table[k], w.strains[k], w.water[k], w.housing[k] = 0, 0, 0, 0, 0, 0
	}
	var c Conditions
	for k, clash := range w.clash[:w.n] {
		room := roomFloor
		if clash > slight && hazards[k] < plain {
			one := s.cols.berths[w.from+k]
			one.territories, one.customary = 1, false
			room = s.m.roomFor(&s.p.berth, &one, s.conditions(&one, &c), false)
		}
		hazards[k] = max(hazards[k], w.eating[k]+clash*room+w.table[k]+w.strains[k]+w.water[k]+w.housing[k])
	}
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

func (b *Book) sideOf(p *Profile, c Conditions) *side {
	s := &side{m: b.Model, p: p, cols: b.columns(), c: c, brings: b.Model.rowOf(&p.fish)}
	if p.shape != unnamed {
		s.alike = s.cols.shaped[p.shape]
	}
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
	for ; from < to; from += block {
		sums.from, sums.n = from, min(block, to-from)
		s.gather(&sums)
		order := s.cols.order[from:][:sums.n]
		s.total(&sums)
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
	customary := s.c.ReferenceTank && s.c.Cover == NormalCover && s.p.customary && s.c.OthersGroundCM2 == 0
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

// conditions are those of a pairing with a row; own is room for those of the tank that is customary for the two.
func (s *side) conditions(q *berth, own *Conditions) *Conditions {
	if !s.c.ReferenceTank {
		return &s.c
	}
	*own = s.c
	own.LengthCM, own.WidthCM = max(s.p.tankLength, q.tankLength), max(s.p.tankWidth, q.tankWidth)
	return own
}

// alone is the score with a row as any pairing has it.
func (s *side) alone(r int32) float64 {
	q := &s.cols.kinds[s.cols.order[r]]
	var own Conditions
	return s.m.valueOf(&s.p.fish, &q.fish, s.conditions(&q.berth, &own), oneGroup(s.p, q))
}

// inBlock are the rows of a list, in order, that lie in a block.
func inBlock(rows []int32, from, n int) []int32 {
	low, _ := slices.BinarySearch(rows, int32(from))
	high, _ := slices.BinarySearch(rows[low:], int32(from+n))
	return rows[low:][:high]
}
