// Package additions ranks every species that could join a list in its tank: by the
// conflict it adds, by the water and by the levels that are left free, with what limits
// each. A species fits when the check of the list with it says no worse than before.
//
// The scan rules species out as soon as it can; what it tells of was looked at in full.
// It is pure, and its cost is linear in the number of species.
package additions

import (
	"cmp"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
)

// Additions is what could join a list, best first.
type Additions struct {
	// Decision is that of the list as it stands, before anything joins.
	Decision stocking.Decision
	Wanted   conflict.Level
	// Lines is the list in canonical order; line numbers below are positions in it.
	Lines []stocking.Line
	// InsteadOf is the species to be replaced, its lines taken out of the list; nil
	// when additions were ranked by what they add alone.
	InsteadOf *species.Species
	// Fitting make the decision of the list no worse. Below do, but only just.
	Fitting, Below []Addition
	// Considered is the number of species that passed the filters and are not on the
	// list already: more fish of a kind that is there is a change of its group.
	Considered int
	// Forbidden is the number of those that passed the filters and were left out because they may not be
	// sold or kept in the region of the stock, and RegionKnown whether rules of it are on record.
	Forbidden   int
	RegionKnown bool
	// Complete: every species on offer was looked at, and all of the best are told of. Else
	// the budget ended first: what is told of is right, but better may have been left out.
	Complete bool
}

// Addition is one species as it would join the list.
type Addition struct {
	Species *species.Species
	Index   int // position in the book's snapshot
	// Count is the customary group, Customary, where that fits, else the smallest it can be kept in. What
	// does not fit is told of as the smallest, or where that is a reason of its own as the customary one.
	Count, Customary int
	Fits             bool
	Decision         stocking.Decision // of the whole list with it
	// Worst is the score of its worst pairing and Sum of all its pairings, its own
	// kind included, 0 to 100 each.
	Worst, Sum float64
	Pairing    *Joining // the worst pairing; nil when it would be a single fish alone
	// WaterFit is 1 when the water that suits the list is what it prefers, 0 when it
	// is at the edge of what it tolerates or beyond.
	WaterFit float64
	// ZoneFree is the share of its swimming levels that the fish on the list leave
	// free, 1 where none of them swims.
	ZoneFree float64
	// Likeness to the species to be replaced, 0 to 1; 0 without one. See [Likeness].
	Likeness float64
	// Why says in one line why it fits; nil when it does not.
	Why *conflict.Statement
	// Limit is the chief reason why it does not fit, nil when it does, and More the
	// number of further reasons.
	Limit    *stocking.Limit
	More     int
	Cautions []conflict.CautionNote
}

// Joining is the pairing of an addition with a line of the list.
type Joining struct {
	With    int // position in Additions.Lines, or OwnKind
	Score   conflict.Score
	Summary conflict.Statement
	// SpeciesLevel is the score of ordinary animals, set when a disposition changed it.
	SpeciesLevel *conflict.Score
}

// Rank ranks the species of the book for joining a list in its tank; the list
// may be empty. An addition fits when the decision gets no worse and nothing that it
// brings along is a stop or above the wanted level. Those that fit come by the
// conflict they add (worst pairing, then sum), then by water fit, by how usual they are in the
// trade and by the levels left free; small differences do not count (see [rank]). Of those that fit
// equally well the first are varied by genus, family and level of the water. Then come those just below: by
// the gravity and number of their reasons, then likewise.
//
// What may not be sold or kept in the region of the stock is left out; what needs a permit there never fits.
//
// A list or options that cannot be judged give an [*InputError]. The order of the list
// never matters. The cost is linear in the number of species.
func Rank(book *conflict.Book, s stocking.Stock, o Options) (Additions, error) {
	if err := validateAdditions(book, &s, &o); err != nil {
		return Additions{}, err
	}
	out := Additions{}
	if o.InsteadOf != nil {
		out.InsteadOf = book.Snapshot.At(*o.InsteadOf)
		s.Lines = without(s.Lines, *o.InsteadOf)
	}
	sc := newScan(book, &s, &o)
	sc.run()
	out.Decision, out.Wanted, out.Considered = sc.base.TankDecision, sc.base.Wanted, sc.considered
	for i := range sc.base.Lines {
		out.Lines = append(out.Lines, sc.base.Lines[i].Line)
	}
	below := sc.below.sorted()
	out.Fitting = sc.explain(sc.customary(sc.varied(sc.fitting.sorted(), cmp.Or(o.Limit, DefaultLimit))))
	out.Below = sc.explain(below)
	out.Forbidden, out.RegionKnown = sc.forbidden, sc.here.Known()
	out.Complete = !sc.ended
	return out, nil
}

// without is the list without a species; positions in the caller's list are kept.
func without(lines []stocking.Line, index int) (out []stocking.Line) {
	for i, l := range lines {
		if l.Index == index {
			continue
		}
		if l.Refs == nil {
			l.Refs = []int{i}
		}
		out = append(out, l)
	}
	return out
}
