// Package placements assigns fish that need a home to tanks that may take some: as many
// as can be, then with the least harm.
package placements

import (
	"commensal/internal/budget"
	"commensal/internal/conflict"
	"commensal/internal/stocking"
)

// The bounds of a placement request.
const (
	MaxArrivals = 100 // lines to be placed
	MaxAdopters = 500 // tanks to place them in
)

// Arrival is a line of fish that need a tank. It is never split.
type Arrival struct {
	stocking.Line
	// Together names lines that have to go to the same tank; "" for none.
	Together string
}

// Adopter is a tank that may take fish, with what lives there.
type Adopter struct {
	Tank   *stocking.Tank
	Lines  []stocking.Line // may be empty
	Wishes Wishes          // of its keeper
}

// Options say what is asked for and bound the work.
type Options struct {
	OneEach   bool   // each tank takes at most one arrival, with those that go with it
	Options   int    // tanks told of for each arrival; 0 for [DefaultTankOptions]
	ByTank    bool   // also tell, for each tank, of the arrivals that suit it best
	NodeLimit int64  // search nodes; 0 for the default
	Region    string // where the tanks are, see [stocking.Stock]
	// Budget is how much work it may take; nil is any. See [Placements].Complete.
	Budget *budget.Budget
}

// DefaultTankOptions is how many tanks are told of for each arrival.
const DefaultTankOptions = 3

// AdviceHarm is what a piece of advice about an arrival, by itself in a tank, counts
// beside the scores of pairings: as much as a pairing of that score. Common practice has
// no figure for it.
const AdviceHarm = 10

// Placements are arrivals placed in tanks: as much weight as can be, then with the least
// harm. Harm is the sum of the scores of all pairings that arrivals come into, in their
// tanks with everyone placed there, [AdviceHarm] for each piece of advice about each of
// them alone in its tank, and [WishHarm] for each that goes where it is not asked for while
// another tank asks for it.
type Placements struct {
	Wanted conflict.Level
	// Arrivals are by themselves or with those that go with them, by their first
	// position among the arrivals.
	Arrivals []Placed
	// Tanks are those that take something, in the order given.
	Tanks []PlacedTank
	// Before is the decision of each tank as it is; one on hold takes nobody.
	Before []stocking.Decision
	// Held says of the tanks on hold, by position, what holds them.
	Held map[int]stocking.Summary
	// ByTank are, where they were asked for and for each tank that is not on hold, the
	// arrivals that suit it best by themselves, in the order of [Placed.Options].
	ByTank []Adoption

	Lost, LostBound float64 // weight without a place, and what every placement loses at least
	// Harm is that of all tanks, and HarmBound what every placement that loses just
	// LostBound does at least. They are equal when Optimal.
	Harm, HarmBound float64
	Parts           HarmParts // of Harm
	Optimal         bool      // proved: none loses less, nor as little with less harm
	Nodes           int64
	// Complete: every arrival was tried in every tank, and all was told that was asked for.
	// Else the budget ended first: what is placed is placed well, but tanks were left
	// untried, the bounds are 0, and fewer options are told of.
	Complete bool
	Summary  conflict.Statement
	Cautions []conflict.CautionNote
}

// Placed is one arrival, or those that go together, with the tank it got.
type Placed struct {
	Refs []int // positions among the arrivals, ascending
	Tank int   // -1 for none
	Why  Why
	// Options are the tank it got and then the best tanks for it by itself: those that can
	// take it, the least harm first, then those that come nearest to it.
	Options []TankOption
	Fitting int // tanks that could take it by itself
}

// TankOption is one tank judged for one arrival by itself.
type TankOption struct {
	Tank     int
	Fits     bool
	Wanted   *bool // whether the keeper would like it; nil where the keeper did not say what
	Harm     float64
	Decision stocking.Decision // of the tank with it
	// Reason is what decides: what stands against it, be it a wish of the keeper, or, where it fits, the first thing
	// that is to be said of the tank with it. With is the position of the resident it
	// speaks of among the adopter's lines, OwnKind or TheTank.
	Reason conflict.Statement
	With   int
}

// Adoption is what one tank could take.
type Adoption struct {
	Tank       int
	Candidates []Candidate
}

// Candidate is an arrival judged for a tank, by its position in Placements.Arrivals.
type Candidate struct {
	Arrival int
	TankOption
}

// PlacedTank is a tank with the arrivals it got, judged.
type PlacedTank struct {
	Tank     int
	Refs     []int // positions of what it got among the arrivals
	Harm     float64
	Parts    HarmParts         // of Harm
	Decision stocking.Decision // of the tank with all of them; never Hold
	Summary  stocking.Summary
	Worst    *stocking.ListPairing // the worst pairing that an arrival comes into; nil for none
	Lines    []stocking.Line       // residents and arrivals in canonical order, as Worst numbers them
}

// Find places fish in tanks. What joins a tank must leave it without a hold: no
// pairing above the wanted level, no stop; and it is what its keeper takes. Lines named to go together stay together, and
// so do all arriving lines of a species that lives in company; a line that a tank could
// not take by itself is not placed there. The order of the arrivals does not change the
// harm or what is lost.
//
// Lines or tanks that cannot be judged give an [*InputError], whose problems name an
// arrival by its position, or a tank by its position after those of the arrivals.
func Find(book *conflict.Book, arrivals []Arrival, wanted conflict.Level, tanks []Adopter, o Options) (Placements, error) {
	if err := validatePlacements(book, arrivals, wanted, tanks); err != nil {
		return Placements{}, err
	}
	p := newPlacer(book, arrivals, wanted, tanks, o)
	p.weighAlone()
	p.search()
	return p.answer(), nil
}

func validatePlacements(book *conflict.Book, arrivals []Arrival, wanted conflict.Level, tanks []Adopter) error {
	var in stocking.Inspector
	in.Within(-1, "arrivals", float64(len(arrivals)), 1, MaxArrivals)
	in.Within(-1, "tanks", float64(len(tanks)), 1, MaxAdopters)
	in.Within(-1, "wanted_level", float64(wanted), 0, float64(conflict.Severe))
	if in.Found == nil {
		for i := range arrivals {
			in.Line(i, &arrivals[i].Line, book.Snapshot.Len())
		}
		for i := range tanks {
			inspectAdopter(&in, len(arrivals)+i, &tanks[i], book.Snapshot.Len())
		}
	}
	return in.Err()
}

// inspectAdopter inspects a tank and its residents; the problems bear the tank's number.
func inspectAdopter(in *stocking.Inspector, number int, a *Adopter, kinds int) {
	before := len(in.Found)
	in.Within(number, "lines", float64(len(a.Lines)), 0, stocking.MaxLines-MaxArrivals)
	in.Tank(a.Tank)
	for i := range a.Lines {
		in.Line(i, &a.Lines[i], kinds)
	}
	for i := range in.Found[before:] {
		in.Found[before+i].Line = number
	}
}
