package placements

import (
	"math"
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/stocking"
	"commensal/internal/stocking/graph"
)

// Why says why an arrival goes where it goes, or nowhere. Its sentence speaks of {tank}, which is Tank, and
// of {reason}, which is the sentence of Reason.
type Why struct {
	conflict.Statement
	Tank   int                // a tank that the sentence speaks of; -1 for none
	Reason conflict.Statement // what stands against that tank; its Code is empty where nothing is to be said
}

// Why an arrival goes where it goes.
const (
	WhyOnly   stocking.Code = "why.only"
	WhyBest   stocking.Code = "why.best"
	WhyWanted stocking.Code = "why.wanted"
	WhyWhole  stocking.Code = "why.whole"
)

// Why an arrival has no place.
const (
	WhyNowhere  stocking.Code = "why.nowhere"
	WhyUntried  stocking.Code = "why.untried"
	WhyTaken    stocking.Code = "why.taken"
	WhyBeside   stocking.Code = "why.beside"
	WhyNotFound stocking.Code = "why.not_found"
)

// why is the reason of a unit's place, or of its having none. order are the tanks, the best for it alone first.
func (p *placing) why(u int, order []int, fitting int, nearest conflict.Statement) Why {
	counted := []conflict.Evidence{{Name: "fitting", Value: float64(fitting)}}
	best, at := order[0], p.found.tank[u]
	switch {
	case at >= 0:
		return p.whyThere(u, at, best, counted)
	case fitting > 0:
		return p.whyOut(u, order[:fitting], counted)
	case slices.ContainsFunc(order, func(t int) bool { return p.alone[t][u].skipped }):
		return Why{Statement: conflict.Statement{Code: WhyUntried}, Tank: -1}
	}
	return Why{Statement: conflict.Statement{Code: WhyNowhere}, Tank: best, Reason: nearest}
}

func (p *placing) whyThere(u, at, best int, counted []conflict.Evidence) Why {
	code, about := WhyBest, -1
	wanted := p.wishedFor(at, u)
	switch {
	case counted[0].Value <= 1:
		code = WhyOnly
	case p.alone[best][u].harm < p.alone[at][u].harm-nearZero:
		code, about = WhyWhole, best
	case wanted != nil && *wanted:
		code = WhyWanted
	}
	return Why{Statement: conflict.Statement{Code: code, Evidence: counted}, Tank: about}
}

// whyOut is why a unit has no place in tanks that could take it by itself.
func (p *placing) whyOut(u int, tanks []int, counted []conflict.Evidence) Why {
	if p.o.OneEach {
		return Why{Statement: conflict.Statement{Code: WhyTaken, Evidence: counted}, Tank: -1}
	}
	for _, t := range tanks {
		if reason, ok := p.besides(t, u); ok {
			return Why{Statement: conflict.Statement{Code: WhyBeside, Evidence: counted}, Tank: t, Reason: reason}
		}
		if p.spent() {
			break
		}
	}
	return Why{Statement: conflict.Statement{Code: WhyNotFound, Evidence: counted}, Tank: tanks[0]}
}

// besides is why a unit cannot join what a tank gets; ok is false where it could.
func (p *placing) besides(t, u int) (reason conflict.Statement, ok bool) {
	with := p.unitsIn(t)
	with.Add(u)
	refs := p.refsOf(with)
	slices.Sort(refs)
	if reason, ok := p.against(t, refs); ok {
		return reason, true
	}
	j := p.joining(t, refs)
	if j.Judge() < stocking.Hold {
		return reason, false
	}
	_, reason = j.HoldReason(p.linesOf(t, j, p.units[u].refs))
	return reason, true
}

// linesOf are the lines of a judged tank that are of some arrivals.
func (p *placing) linesOf(t int, j *stocking.Assessment, refs []int) (mine graph.Set) {
	for i := range j.Lines {
		for _, ref := range j.Lines[i].Refs {
			if slices.Contains(refs, ref-len(p.tanks[t].Lines)) {
				mine.Add(i)
			}
		}
	}
	return mine
}

// HarmParts are what the harm of placed arrivals adds up from.
type HarmParts struct {
	Pairings float64 // the scores of the pairings they come into
	Advice   float64 // [AdviceHarm] for each piece of advice about them alone
	Wishes   float64 // [WishHarm] for each line that goes where it is not asked for
}

// Sum is the harm.
func (h HarmParts) Sum() float64 { return h.Pairings + h.Advice + h.Wishes }

func (h *HarmParts) add(o HarmParts) {
	h.Pairings, h.Advice, h.Wishes = h.Pairings+o.Pairings, h.Advice+o.Advice, h.Wishes+o.Wishes
}

// The harm in words.
const (
	HarmNone     stocking.Code = "harm.none"
	HarmPairings stocking.Code = "harm.pairings"
	HarmAdvice   stocking.Code = "harm.advice"
	HarmWishes   stocking.Code = "harm.wishes"
	HarmTotal    stocking.Code = "harm.total"
)

// Statements are the harm in words: the total, and then each part that is not zero.
func (h HarmParts) Statements() (out []conflict.Statement) {
	say := func(code stocking.Code, v float64) {
		out = append(out, conflict.Statement{Code: code, Evidence: []conflict.Evidence{{Name: "harm", Value: tenth(v)}}})
	}
	if tenth(h.Sum()) == 0 {
		return []conflict.Statement{{Code: HarmNone}}
	}
	say(HarmTotal, h.Sum())
	for _, part := range []struct {
		code stocking.Code
		v    float64
	}{{HarmPairings, h.Pairings}, {HarmAdvice, h.Advice}, {HarmWishes, h.Wishes}} {
		if tenth(part.v) > 0 {
			say(part.code, part.v)
		}
	}
	return out
}

func tenth(v float64) float64 { return math.Round(v*10) / 10 }

// partsOf is what the harm of units in a tank adds up from.
func (p *placing) partsOf(t int, units graph.Set) (h HarmParts) {
	for u := units.Next(0); u >= 0; u = units.Next(u + 1) {
		h.Advice, h.Wishes = h.Advice+p.alone[t][u].advice, h.Wishes+p.alone[t][u].wish
	}
	h.Pairings = max(0, p.harmOf(t, units)-h.Advice-h.Wishes)
	return h
}
