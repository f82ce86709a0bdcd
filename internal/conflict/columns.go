package conflict

import (
	"math"

	"commensal/internal/species"
)

// The species of a catalogue in columns: what one factor reads of them stands in one piece of memory, one species
// behind the other, so that a factor is worked out for one line of fish beside many kinds in a loop that is hardly
// ever guessed wrong. Few pairings need more than these loops: those are scored by themselves.

// columns are a catalogue so. A row is one species; fish come before the spineless.
type columns struct {
	kinds     []*Profile // by row
	order     []int32    // position in the snapshot, by row; of those who join, in their list
	rows      []int32    // row, by position in the snapshot
	fish      int        // how many rows are fish
	customary bool       // all are customary groups
	armed     []int32    // rows of what harms by more than a mouth, in order
	shaped    map[name][]int32
	// related are the rows that share a word: id, form, genus, names of what they cross with.
	related map[name][]int32

	levels, tables [][species.NumZones]float64
	unsure         []int32 // rows whose levels or tables are not on record
	mouths         []mouth
	morsels        []morsel
	bullies        []bully
	bullied        []underBullies
	tempers        []temper
	paces          []pace
	diners         []diner
	diets          []diet
	seasons        []season
	water          [species.NumParameters][]accepts
	cores          [species.NumParameters][]species.Range // of the same
	housing        []housed
	berths         []berth
	powers         *powers // of room
}

// underBullies is what a fish is to one that presses it.
type underBullies struct {
	bullied
	bears float64 // share of a pressure that one of the line feels
}

// temper is what is left of temperament.
type temper struct {
	nips, nippable float64 // see [Model.nips]
	shows, fins    float64 // see [Model.shows]
}

// pace is who may outpace whom.
type pace struct {
	slow     float64
	outpaces float64 // no other goes short beside it whose pace is above
}

// diner is what a line does at a table.
type diner struct {
	fast, hurry, limit float64 // as one that outpaces
	slow, short, size  float64 // as one that goes short
}

// diet is what a fish eats, and how it bustles about it.
type diet struct {
	food, meat, greed float64
	bustle, lnStrong  float64
	shy, lnWeak       float64
}

type season struct{ cool, warm float64 }

type housed struct {
	giant, land float64 // land is 1 for what needs it
	strains     float64 // what a strainer suffers
}

// columnsOf puts species in columns.
func (m *Model) columnsOf(kinds []Profile) *columns {
	c := newColumns(len(kinds))
	c.rows, c.powers = make([]int32, len(kinds)), powersOf(m.w.RoomPower)
	for _, spineless := range [...]bool{false, true} {
		for i := range kinds {
			if kinds[i].spineless == spineless {
				c.index(&kinds[i].kind)
				c.rows[i] = int32(len(c.order))
				c.add(m, &kinds[i], int32(i))
			}
		}
	}
	return c
}

// newColumns are columns with room for n rows.
func newColumns(n int) *columns {
	c := &columns{
		kinds: make([]*Profile, 0, n), order: make([]int32, 0, n), customary: true, shaped: map[name][]int32{}, related: map[name][]int32{},
		levels: make([][species.NumZones]float64, 0, n), tables: make([][species.NumZones]float64, 0, n),
		mouths: make([]mouth, 0, n), morsels: make([]morsel, 0, n), bullies: make([]bully, 0, n), bullied: make([]underBullies, 0, n),
		tempers: make([]temper, 0, n), paces: make([]pace, 0, n), diners: make([]diner, 0, n), diets: make([]diet, 0, n),
		seasons: make([]season, 0, n), housing: make([]housed, 0, n), berths: make([]berth, 0, n),
	}
	for p := range c.water {
		c.water[p], c.cores[p] = make([]accepts, 0, n), make([]species.Range, 0, n)
	}
	return c
}

// index notes what the next row may be more than a stranger to.
func (c *columns) index(k *kind) {
	row := int32(len(c.order))
	for _, w := range k.words {
		c.related[w] = append(c.related[w], row)
	}
	if k.shape != unnamed {
		c.shaped[k.shape] = append(c.shaped[k.shape], row)
	}
}

// clear takes all rows out, and keeps their room.
func (c *columns) clear() {
	c.kinds, c.order, c.fish, c.customary = c.kinds[:0], c.order[:0], 0, true
	c.armed, c.unsure, c.levels, c.tables = c.armed[:0], c.unsure[:0], c.levels[:0], c.tables[:0]
	c.mouths, c.morsels, c.bullies, c.bullied, c.tempers = c.mouths[:0], c.morsels[:0], c.bullies[:0], c.bullied[:0], c.tempers[:0]
	c.paces, c.diners, c.diets, c.seasons, c.housing, c.berths = c.paces[:0], c.diners[:0], c.diets[:0], c.seasons[:0], c.housing[:0], c.berths[:0]
	for p := range c.water {
		c.water[p], c.cores[p] = c.water[p][:0], c.cores[p][:0]
	}
}

// add puts a line of fish in the next row. All fish come first.
func (c *columns) add(m *Model, p *Profile, at int32) {
	f, row := &p.fish, int32(len(c.order))
	c.kinds, c.order = append(c.kinds, p), append(c.order, at)
	if c.customary = c.customary && f.customary; !f.spineless {
		c.fish++
	}
	if f.armed() {
		c.armed = append(c.armed, row)
	}
	if !f.zonesKnown || !f.feedsSet {
		c.unsure = append(c.unsure, row)
	}
	c.levels, c.tables = append(c.levels, f.zones), append(c.tables, f.feedAt)
	c.mouths, c.morsels = append(c.mouths, f.actor.mouth), append(c.morsels, f.victim.morsel)
	c.bullies, c.bullied = append(c.bullies, f.actor.bully), append(c.bullied, m.underBullies(f))
	c.tempers = append(c.tempers, m.temper(f))
	c.paces, c.diners, c.diets = append(c.paces, f.pace()), append(c.diners, f.diner()), append(c.diets, m.diet(f))
	c.seasons = append(c.seasons, season{f.cool, f.warm})
	for p := range f.water {
		w := f.water[p].orAnything()
		c.water[p], c.cores[p] = append(c.water[p], w), append(c.cores[p], species.Range{Low: w.low, High: w.high})
	}
	c.housing, c.berths = append(c.housing, m.housed(f)), append(c.berths, f.berth)
}

// armed reports a line that may harm by more than its mouth and its temper.
func (f *fish) armed() bool {
	return f.shock > 0 || f.actor.bites > 0 || f.actor.claws > 0
}

func (m *Model) underBullies(f *fish) underBullies {
	return underBullies{f.victim.bullied, m.bearsAlone(f)}
}

func (m *Model) temper(f *fish) temper {
	t := temper{nips: m.nips(f), nippable: f.victim.nippable}
	if !f.spineless {
		t.shows, t.fins = m.shows(&f.actor), f.victim.fins
	}
	return t
}

// pace leaves out whatever never goes short beside another, with a margin for the last digits.
func (f *fish) pace() pace {
	p := pace{f.victim.pace, f.actor.pace * fairShare / (1 - fairShare) * (1 + 1e-9)}
	if hurry(f.actor.pace) == 0 {
		p.outpaces = -1
	}
	if f.fedByTank {
		p = pace{math.Inf(1), -1}
	}
	return p
}

func (f *fish) diner() diner {
	return diner{fast: f.actor.pace, hurry: hurry(f.actor.pace), limit: f.actor.table, slow: f.victim.pace, short: goesShort(f.victim.shy), size: f.victim.table}
}

func (m *Model) diet(f *fish) diet {
	return diet{f.animalFood, f.meat(), f.greed(), m.w.Bustle * f.actor.bustle, f.actor.lnStrong, f.victim.shy, f.victim.lnWeak}
}

func (m *Model) housed(f *fish) housed {
	h := housed{giant: f.giant}
	if f.land {
		h.land = 1
	}
	if f.strains {
		h.strains = m.w.Starving
	}
	return h
}

// orAnything is the range, or one without edges where none is known.
func (w *accepts) orAnything() accepts {
	if w.known {
		return *w
	}
	return accepts{low: math.Inf(-1), high: math.Inf(1), tolLow: math.Inf(-1), tolHigh: math.Inf(1)}
}

// gather works out the hazards with the rows of a block, right for all but those that are related.
func (s *side) gather(w *sumsOf) {
	var zone, shared [block]float64
	s.meet(w, &zone, &shared)
	s.eat(w)
	s.clash(w)
	s.nipAndFeed(w, &shared)
	s.live(w)
	clash, table := w.clash[:w.n], w.table[:w.n]
	for k, z := range zone[:w.n] {
		clash[k] *= z
		table[k] *= z
	}
}

// meet fills in how much they meet, and how much at the table, and whether a tank holds the two.
func (s *side) meet(w *sumsOf, zone, shared *[block]float64) {
	m, p, h := s.m, &s.p.fish, s.brings.housed
	levels, tables, housing := s.cols.levels[w.from:][:w.n], s.cols.tables[w.from:][:w.n], s.cols.housing[w.from:][:w.n]
	floor := m.w.ZoneFloor
	for k := range levels {
		zone[k] = floor + (1-floor)*schoener(&p.zones, &levels[k])
		shared[k] = schoener(&p.feedAt, &tables[k])
		q := &housing[k]
		land := h.land - q.land
		w.housing[k] = max(h.giant, q.giant) + m.w.Land*(land*land)
		w.strains[k] = max(h.strains, q.strains)
	}
	if !p.spineless {
		clear(w.strains[:s.fishOf(w)])
	}
	if !p.zonesKnown || !p.feedsSet {
		for k := range levels {
			s.unsure(w.from+k, &zone[k], &shared[k])
		}
	}
	for _, r := range inBlock(s.cols.unsure, w.from, w.n) {
		s.unsure(int(r), &zone[int(r)-w.from], &shared[int(r)-w.from])
	}
}

func (s *side) unsure(r int, zone, shared *float64) {
	q := s.fishAt(r)
	*zone, *shared = s.m.meeting(&s.p.fish, q, typical), s.m.sharedTable(&s.p.fish, q, typical)
}

// fishAt is the line of a row.
func (s *side) fishAt(r int) *fish { return &s.cols.kinds[r].fish }

// fishOf is how many rows of a block are fish; they come first.
func (s *side) fishOf(w *sumsOf) int { return min(max(s.cols.fish-w.from, 0), w.n) }

// eat fills in who eats whom.
func (s *side) eat(w *sumsOf) {
	dense := s.fishOf(w)
	if s.p.spineless || s.p.armed() {
		dense = 0
	}
	m, p := s.m, &s.p.fish
	mouth, morsel, depth := &p.actor.mouth, &p.victim.morsel, m.w.DepthWeight
	keen := m.w.Predation * mouth.appetite
	mouths, morsels := s.cols.mouths[w.from:][:dense], s.cols.morsels[w.from:][:dense]
	for k := range mouths {
		q, r := &mouths[k], &morsels[k]
		w.eating[k] = (taking(keen, mouth, r, depth) + m.mishapHazard(mouth, r)) +
			(taking(m.w.Predation*q.appetite, q, morsel, depth) + m.mishapHazard(q, morsel))
	}
	var t terms
	for k := dense; k < w.n; k++ {
		a, b := s.inOrder(w.from + k)
		w.eating[k] = m.eating(&t, a, b)
	}
	for _, r := range inBlock(s.cols.armed, w.from, dense) {
		a, b := s.inOrder(int(r))
		w.eating[int(r)-w.from] = m.eating(&t, a, b)
	}
}

// inOrder are the line and that of a row, the first one first.
func (s *side) inOrder(r int) (a, b *fish) {
	if s.turned != nil && s.turned[r] {
		return s.fishAt(r), &s.p.fish
	}
	return &s.p.fish, s.fishAt(r)
}

// eating is the hazard of both directions to life; t is scratch.
func (m *Model) eating(t *terms, a, b *fish) float64 {
	m.take(t, 0, a, b, typical)
	m.take(t, 1, b, a, typical)
	return t.eating()
}

// clash fills in who presses and fights whom.
func (s *side) clash(w *sumsOf) {
	fish := s.fishOf(w)
	toFish, toRest, from := 1.0, 1.0, 1.0
	if s.p.spineless {
		from = bystander
	} else {
		toRest = bystander
	}
	s.press(w, 0, fish, toFish, from)
	s.press(w, fish, w.n, toRest, 1)
	var t terms
	for _, r := range inBlock(s.alike, w.from, w.n) {
		a, b := s.inOrder(int(r))
		w.clash[int(r)-w.from] = s.m.clashing(&t, a, b)
	}
}

// press is clash for some rows of a block, of which each side regards the other to a share.
func (s *side) press(w *sumsOf, from, to int, share, shareBack float64) {
	m, bully, under, temper := s.m, &s.p.actor.bully, &s.brings.under, s.brings.temper
	bullies, bullied, tempers := s.cols.bullies[w.from+from:][:to-from], s.cols.bullied[w.from+from:][:to-from], s.cols.tempers[w.from+from:][:to-from]
	out := w.clash[from:to]
	felt := shareBack * under.bears * under.noticed
	for k := range out {
		i, q, t := &bullies[k], &bullied[k], &tempers[k]
		edge, edgeBack, feels := chance(bully.edge, q.edge), chance(i.edge, under.edge), share*q.bears*q.noticed
		there := m.pressure(bully, q.nerve, edge, q.unshielded, feels) + temper.shows*t.fins
		back := m.pressure(i, under.nerve, edgeBack, under.unshielded, felt) + t.shows*temper.fins
		guard := m.guarded(i.guarding, under.nerve, edgeBack, under.unshielded, felt)
		if bully.guarding > 0 {
			guard += m.guarded(bully.guarding, q.nerve, edge, q.unshielded, feels)
		}
		out[k] = there + back + guard
	}
}

// clashing is the aggression of two kinds that may take each other for rivals, and their guarding; t is scratch.
func (m *Model) clashing(t *terms, a, b *fish) float64 {
	m.oppose(t, a, b)
	return t.clash(0) + t.clash(1) + (t.guard[0] + t.guard[1])
}

// nipAndFeed fills in nipping and what happens at the table.
func (s *side) nipAndFeed(w *sumsOf, shared *[block]float64) {
	var there, back [block]float64 // what each way is missed at the table
	s.race(w, shared, &there, &back)
	m, t, d := s.m, s.brings.temper, &s.brings.diet
	dense := s.fishOf(w)
	if s.p.spineless {
		dense = 0
	}
	tempers, diets, out := s.cols.tempers[w.from:][:w.n], s.cols.diets[w.from:][:w.n], w.table[:w.n]
	for k := range diets[:dense] {
		q := &diets[k]
		bustle, bustled := d.bustle*q.shy*m.looms(d.lnStrong, q.lnWeak), q.bustle*d.shy*m.looms(q.lnStrong, d.lnWeak)
		gap := max(d.greed*beyondGreens(q.meat, d.food), q.greed*beyondGreens(d.meat, q.food))
		out[k] = there[k] + bustle + (back[k] + bustled) + m.w.DietClash*shared[k]*gap
	}
	for k := dense; k < len(out); k++ {
		out[k] = there[k] + back[k]
	}
	for k := range tempers {
		out[k] = t.nips*tempers[k].nippable + tempers[k].nips*t.nippable + out[k]
	}
}

// race fills in who outpaces whom. Most do not: they are left out first.
func (s *side) race(w *sumsOf, shared, there, back *[block]float64) {
	var outpaced, outpaces [block]uint8
	n, nBack := 0, 0
	p := s.brings.pace
	for k, q := range s.cols.paces[w.from:][:w.n] {
		outpaced[n], outpaces[nBack] = uint8(k), uint8(k)
		n += b2i(q.slow <= p.outpaces)
		nBack += b2i(p.slow <= q.outpaces)
	}
	diners, d := s.cols.diners[w.from:][:w.n], &s.brings.diner
	for _, k := range outpaced[:n] {
		there[k] = s.m.raceReach(shared[k]) * d.leaves(&diners[k])
	}
	for _, k := range outpaces[:nBack] {
		back[k] = s.m.raceReach(shared[k]) * diners[k].leaves(d)
	}
}

// leaves is how short another goes, see [shortage].
func (d *diner) leaves(o *diner) float64 {
	return lacking(d.fast, o.slow) * d.hurry * o.short * chance(d.limit, o.size)
}

// live fills in what sharing a body of water does.
func (s *side) live(w *sumsOf) {
	var acid, hard [block]float64
	var felt strains
	m, p := s.m, &s.p.fish
	out := w.water[:w.n]
	for k, q := range s.cols.seasons[w.from:][:w.n] {
		out[k] = m.w.Season * max(p.cool*q.warm, q.cool*p.warm)
	}
	for _, e := range s.inTurn(w, s.stress(w, species.Temperature, &felt)) {
		out[e.at] += e.first
		out[e.at] += e.second
	}
	for _, e := range s.stress(w, species.PH, &felt) {
		acid[e.at] = e.first + e.second
	}
	for _, e := range s.stress(w, species.Hardness, &felt) {
		hard[e.at] = e.first + e.second
	}
	for k := range out {
		out[k] += max(acid[k], hard[k])
	}
	for _, e := range s.inTurn(w, s.stress(w, species.Salinity, &felt)) {
		out[e.at] += e.first
		out[e.at] += e.second
	}
}

// inTurn has strains turned where the row comes first: the last digit of a sum depends on it.
func (s *side) inTurn(w *sumsOf, list []strain) []strain {
	if s.turned == nil {
		return list
	}
	for i := range list {
		if e := &list[i]; s.turned[w.from+int(e.at)] {
			e.first, e.second = e.second, e.first
		}
	}
	return list
}

// strains are what one parameter puts on the two, for those rows of a block that feel any.
type strains [block]strain

type strain struct {
	at            uint8
	first, second float64
}

// stress fills in what one parameter puts on the line and on each row that feels any.
func (s *side) stress(w *sumsOf, p species.Parameter, felt *strains) []strain {
	own, ranges := &s.brings.water[p], s.cols.water[p][w.from:][:w.n]
	if r := s.c.Reading[p]; r.Known {
		first := own.stress(r.Value)
		for k := range ranges {
			felt[k] = strain{uint8(k), first, ranges[k].stress(r.Value)}
		}
		return felt[:w.n]
	}
	var below, above [block]uint8
	n, nAbove := 0, 0
	for k, q := range s.cols.cores[p][w.from:][:w.n] {
		below[n], above[nAbove] = uint8(k), uint8(k)
		n += b2i(q.High < own.low)
		nAbove += b2i(q.Low > own.high)
	}
	out := felt[:0]
	for _, k := range below[:n] {
		q := &ranges[k]
		x := even(q, own)
		if x > q.tolHigh || x < own.tolLow {
			x = strained(q, own, x)
		}
		out = append(out, strain{k, own.under(x), q.above(x)})
	}
	for _, k := range above[:nAbove] {
		q := &ranges[k]
		x := even(own, q)
		if x > own.tolHigh || x < q.tolLow {
			x = strained(own, q, x)
		}
		out = append(out, strain{k, own.above(x), q.under(x)})
	}
	return out
}

// b2i is 1 for true: a count without a branch.
func b2i(b bool) int {
	n := 0
	if b {
		n = 1
	}
	return n
}
