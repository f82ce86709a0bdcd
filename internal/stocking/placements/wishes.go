package placements

import (
	"maps"
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/stocking"
)

// Wishes are what the keeper of a tank would take, by positions in the book's snapshot. The zero value takes
// anything.
type Wishes struct {
	Wanted    []int       // preferred, see [WishHarm]
	NotWanted []int       // never placed there
	AtMost    int         // fish in all; 0 for any number
	AtMostOf  map[int]int // fish of a kind
}

// WishHarm is what a line counts that goes where it is not asked for while another tank of the request asks for
// its kind: half of what a piece of advice counts, so that a wish decides between tanks that are about as good and
// never against the fish. Common practice has no figure for it.
const WishHarm = 5

// The reasons of a keeper against an arrival.
const (
	WishNotWanted stocking.Code = "wish.not_wanted"
	WishAtMost    stocking.Code = "wish.at_most"
	WishAtMostOf  stocking.Code = "wish.at_most_of"
)

// none reports that the keeper takes anything.
func (w *Wishes) none() bool {
	return len(w.Wanted) == 0 && len(w.NotWanted) == 0 && w.AtMost == 0 && len(w.AtMostOf) == 0
}

// same reports that two keepers wish for the same.
func (w *Wishes) same(o *Wishes) bool {
	return w.AtMost == o.AtMost && sameSet(w.Wanted, o.Wanted) && sameSet(w.NotWanted, o.NotWanted) && maps.Equal(w.AtMostOf, o.AtMostOf)
}

func sameSet(a, b []int) bool {
	within := func(a, b []int) bool {
		return !slices.ContainsFunc(a, func(x int) bool { return !slices.Contains(b, x) })
	}
	return within(a, b) && within(b, a)
}

// against is why the keeper of a tank does not take these arrivals together; ok is false where it does.
func (p *placing) against(t int, refs []int) (reason conflict.Statement, ok bool) {
	w := &p.tanks[t].Wishes
	if w.none() {
		return reason, false
	}
	all, of := 0, map[int]int{}
	for _, r := range refs {
		index := p.arrivals[r].Index
		if slices.Contains(w.NotWanted, index) {
			return conflict.Statement{Code: WishNotWanted, Actor: p.ready[r].Species}, true
		}
		all, of[index] = all+p.ready[r].Fish, of[index]+p.ready[r].Fish
	}
	for _, r := range refs {
		index := p.arrivals[r].Index
		if most, bound := w.AtMostOf[index]; bound && of[index] > most {
			return conflict.Statement{Code: WishAtMostOf, Actor: p.ready[r].Species, Evidence: countsOf(most, of[index])}, true
		}
	}
	if w.AtMost > 0 && all > w.AtMost {
		return conflict.Statement{Code: WishAtMost, Evidence: countsOf(w.AtMost, all)}, true
	}
	return reason, false
}

func countsOf(most, n int) []conflict.Evidence {
	return []conflict.Evidence{{Name: "most", Value: float64(most)}, {Name: "number", Value: float64(n)}}
}

// readAsked notes which kinds some tank asks for.
func (p *placing) readAsked() {
	p.asked = map[int]bool{}
	for t := range p.tanks {
		for _, index := range p.tanks[t].Wishes.Wanted {
			p.asked[index] = true
		}
	}
}

// unasked is the harm of a unit that goes to a tank where it is not asked for.
func (p *placing) unasked(t, u int) (harm float64) {
	for _, r := range p.units[u].refs {
		if index := p.arrivals[r].Index; p.asked[index] && !slices.Contains(p.tanks[t].Wishes.Wanted, index) {
			harm += WishHarm
		}
	}
	return harm
}

// wishedFor is whether a keeper would like all kinds of a unit; nil where the keeper did not say what.
func (p *placing) wishedFor(t, u int) *bool {
	w := p.tanks[t].Wishes.Wanted
	if len(w) == 0 {
		return nil
	}
	all := !slices.ContainsFunc(p.units[u].refs, func(r int) bool { return !slices.Contains(w, p.arrivals[r].Index) })
	return &all
}
