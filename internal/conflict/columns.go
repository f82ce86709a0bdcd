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
	kinds  []Profile
	order  []int32 // position in the snapshot, by row
	fish   int     // how many rows are fish
	armed  []int32 // rows of what harms by more than a mouth, in order
	shaped map[name][]int32
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
	c := &columns{kinds: kinds, shaped: map[name][]int32{}, related: map[name][]int32{}}
	for _, spineless := range [...]bool{false, true} {
		for i := range kinds {
			if kinds[i].spineless == spineless {
				c.add(m, &kinds[i].fish, int32(i))
			}
		}
		if !spineless {
			c.fish = len(c.order)
		}
	}
	return c
}

// add puts a species in the next row.
func (c *columns) add(m *Model, f *fish, at int32) {
	row := int32(len(c.order))
	c.order = append(c.order, at)
	for _, w := range f.words {
		c.related[w] = append(c.related[w], row)
	}
	if f.shape != unnamed {
		c.shaped[f.shape] = append(c.shaped[f.shape], row)
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
