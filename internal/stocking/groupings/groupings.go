// Package groupings splits a list over the fewest tanks, or over given ones, so that no
// tank is a hold. Its proofs are about the checks of the tanks.
package groupings

import (
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/stocking"
)

// ExactLines is the number of lines up to which the fewest tanks are found with
// proof, as far as lists were tried; longer lists, and rare shorter ones, may get an
// answer that is not proved, with the gap stated.
const ExactLines = 60

// MaxTanks is the greatest number of tanks that a list is split over.
const MaxTanks = 500

// Options bounds the work.
type Options struct {
	NodeLimit int64 // search nodes; 0 for the solver's default
}

// Groupings is a list split over tanks so that no tank holds a conflict.
type Groupings struct {
	Wanted conflict.Level
	// Summary says in one sentence how far the tanks go.
	Summary conflict.Statement
	// Lines is the list in canonical order; line numbers below are positions in it.
	Lines []stocking.Line
	// Groups are the tanks that hold something: by their first line where tanks are
	// not limited, else in the order of the given tanks.
	Groups []Grouping
	// Unplaced are the lines without a place. Where tanks are not limited they cannot
	// be kept as they are given, not even alone.
	Unplaced []Unplaced

	Given bool // the tanks were given
	// Optimal is proved: where tanks are not limited no split needs fewer, else none places
	// more (by the weights of the lines) and of those none has less advice, counted for
	// each unit alone in its tank. See [Find] for what may share a tank.
	Optimal bool
	// LowerBound is the number of tanks that every split needs; it equals the number of
	// groups when Optimal. 0 where the tanks were given.
	LowerBound int
	// Lost is the weight of the lines without a place in given tanks, and LostBound
	// what every split loses at least; 0 where tanks are not limited.
	Lost, LostBound float64
	Nodes           int64 // search nodes used
	// Complete: everything was tried that the proofs and the sizes rest on. Else the budget
	// ended first: every group is as good as it says, but better ones may have been left
	// untried, nothing is proved, and a tank may be larger than it need be.
	Complete bool
	// Cautions are those of each tank and of what has no place, each once.
	Cautions []conflict.CautionNote
}

// Gap is how much better an answer that is not proved could be: tanks, or weight lost.
func (g *Groupings) Gap() float64 {
	if g.Given {
		return max(0, g.Lost-g.LostBound)
	}
	return float64(max(0, len(g.Groups)-g.LowerBound))
}

// Grouping is one tank with what it holds, judged on its own.
type Grouping struct {
	Lines []int // ascending
	Tank  int   // position among the given tanks, -1 where tanks are not limited
	// Size is, where tanks are not limited, the smallest standard tank that meets every
	// member's customary minimum and holds them without a hold and without crowding, where
	// there is one; nil where the tanks were given.
	Size     *conflict.TankSize
	Decision stocking.Decision // never Hold
	Summary  stocking.Summary
	// Worst is the worst pairing in the tank, nil for a single fish.
	Worst *stocking.ListPairing
	// Windows is the water that suits all of them.
	Windows []conflict.Window
}

// Unplaced is a line, or the lines of a shoal, without a place.
type Unplaced struct {
	Lines []int
	// Tank is the given tank that came nearest, -1 where tanks are not limited.
	Tank   int
	With   int // the line that stands against it there; OwnKind or TheTank
	Reason conflict.Statement
}

// Find splits a list over the fewest tanks, or over the given ones where there
// are any, so that each tank judged on its own is not a hold. The stock's own tank is
// left aside.
//
// A line is never split, and neither is a shoal: all lines of a species that lives in
// company stay together. Lines share a tank where the check of them in it, with the
// dimensions and whatever else the given tank tells, is not a hold and does not find the
// tank crowded (ground_crowded, zone_crowded, tank_crowded); what is never parted may crowd
// a tank of its own. Without given tanks that is a tank of a standard size of which nothing
// but the dimensions is known.
//
// A list or tanks that cannot be judged give an [*InputError]. The order of the list
// never matters.
func Find(book *conflict.Book, s stocking.Stock, tanks []stocking.Tank, o Options) (Groupings, error) {
	if err := validateGroupings(book, &s, tanks); err != nil {
		return Groupings{}, err
	}
	return find(book, s, tanks, o, false), nil
}

// find is [Find] for a list and tanks in order; plain leaves away what
// needs words.
func find(book *conflict.Book, s stocking.Stock, tanks []stocking.Tank, o Options, plain bool) Groupings {
	s.Tank = nil
	sp := newSplit(book, &s)
	sp.plain, sp.out.Given = plain, len(tanks) > 0
	if sp.out.Given {
		sp.overGiven(tanks, o)
	} else {
		sp.overFewest(o)
	}
	sp.finish()
	return sp.out
}

// searchShare is the part of the budget that is spent on the search; the rest is for the
// sizes and the words of what it found.
const searchShare = 0.7

// singleShare is the part that may be spent on trying every line alone.
const singleShare = 0.35

// spent reports that the search has to end.
func (sp *split) spent() bool { return sp.spentOn(searchShare) }

// cutShort reports that something was left untried, by this split or by the one that bounds it.
func (sp *split) cutShort() bool { return sp.ended || sp.kindest != nil && sp.kindest.ended }

// spentOn reports that a share of the budget is spent, and notes that not all was tried.
func (sp *split) spentOn(share float64) bool {
	if sp.Budget.EndedAt(share) {
		sp.ended = true
		return true
	}
	return false
}

// MaxCheckedLines is the longest list, in canonical lines, that is split beside a
// check: a longer one is asked about on its own.
const MaxCheckedLines = 40

// MaxPartedLines is the longest list that is split a second time, as its check and its residents wish it: of a longer
// one that would cost more than the rest of the answer.
const MaxPartedLines = 8

// SplitIfHeld is how a list that was checked splits over the fewest tanks, without
// summaries, pairings, waters and cautions; nil unless the decision is hold and the list has two
// to [MaxCheckedLines] lines. The check must be that of the list.
//
// Kinds that the check holds for one another are not put together again, though a larger tank might bear
// them. Where fish would join residents, these stay together, in their own tank where it holds the group,
// if as few tanks will do or some kinds are held for one another anyway. Both up to [MaxPartedLines] lines. Optimal and LowerBound are those of the split without such wishes.
func SplitIfHeld(book *conflict.Book, s stocking.Stock, check *stocking.Check) *Groupings {
	if n := len(check.Lines); check.Decision < stocking.Hold || n < 2 || n > MaxCheckedLines || s.Budget.Ended() {
		return nil
	}
	tank := s.Tank
	s.Tank = nil
	var free *split
	parted := partedBy(check)
	anew := func(together bool) *split {
		sp := newSplit(book, &s)
		sp.plain = true
		if free != nil {
			sp.before, sp.parted = free.largest, parted
		}
		if together {
			sp.mergeResidents(tank)
		}
		sp.overFewest(Options{})
		sp.finish()
		return sp
	}
	free = anew(false)
	g, least, optimal := free.out, free.out.LowerBound, free.out.Optimal
	if len(check.Lines) > MaxPartedLines {
		return &g
	}
	var together *split
	if joining(check) && !s.Budget.Ended() {
		together = anew(true)
	}
	stay := func() bool {
		return together != nil && !together.cramped && (len(parted) > 0 || len(together.out.Groups) <= len(g.Groups)) && unplacedLines(&together.out) <= unplacedLines(&g)
	}
	if len(parted) > 0 && !stay() {
		g = anew(false).out
	}
	if stay() {
		g = together.out
	}
	g.LowerBound, g.Optimal = least, optimal && len(g.Groups) == least
	return &g
}

// joining reports whether fish of a list would join others of it.
func joining(check *stocking.Check) bool {
	is := func(incoming bool) bool {
		return slices.ContainsFunc(check.Lines, func(l stocking.Line) bool { return l.Incoming == incoming })
	}
	return is(true) && is(false)
}

// partedBy are the lines that a check holds for one another, the size of the tank aside.
func partedBy(check *stocking.Check) map[[2]int]bool {
	out := map[[2]int]bool{}
	for i := range check.Reasons {
		f := &check.Reasons[i]
		if f.Severity != stocking.Stop || f.Existing || !stocking.IsBetween(f) {
			continue
		}
		for k, x := range f.Lines {
			for _, y := range f.Lines[:k] {
				out[[2]int{min(x, y), max(x, y)}] = true
			}
		}
	}
	return out
}

func unplacedLines(g *Groupings) (n int) {
	for i := range g.Unplaced {
		n += len(g.Unplaced[i].Lines)
	}
	return n
}

// validateGroupings is [Stock.Validate] with the given tanks.
func validateGroupings(book *conflict.Book, s *stocking.Stock, tanks []stocking.Tank) error {
	var in stocking.Inspector
	list := *s
	list.Tank = nil
	if err, ok := list.Validate(book).(*stocking.InputError); ok {
		in.Found = err.Problems
	}
	in.Within(-1, "tanks", float64(len(tanks)), 0, MaxTanks)
	if len(tanks) <= MaxTanks {
		for i := range tanks {
			in.Tank(&tanks[i])
		}
	}
	return in.Err()
}
