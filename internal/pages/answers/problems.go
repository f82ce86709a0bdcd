package answers

import (
	"cmp"
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/stocking"
	"commensal/internal/stocking/remedies"
)

// gravity orders severities, the gravest first.
var gravity = map[string]int{"stop": 0, "advice": 1, "note": 2}

// problems are what was found of pairs, lines and the tank in one list, the gravest
// first; among equals, pairs come before the rest, the worst first.
func (r *reader) problems(out *List) []Problem {
	var list []Problem
	for i := range out.Pairs {
		if p := &out.Pairs[i]; p.Level != conflict.Low.String() {
			list = append(list, r.pairProblem(p, out.Lines))
		}
	}
	for i := range r.check.Findings {
		list = append(list, r.findingProblem(&r.check.Findings[i], out.Lines))
	}
	slices.SortStableFunc(list, func(a, b Problem) int { return cmp.Compare(gravity[a.Severity], gravity[b.Severity]) })
	return list
}

// pairProblem is a pairing that is not low: above the wanted level a stop, else advice.
func (r *reader) pairProblem(p *PairRow, lines []Line) Problem {
	out := Problem{Code: p.Reason, Severity: stocking.Advice.String(), Sentence: p.Sentence, Pair: &p.Asked, Kinds: []Kind{lines[p.First].Kind}}
	if level, _ := conflict.ParseLevel(p.Level); level > r.check.Wanted {
		out.Severity = stocking.Stop.String()
	}
	if p.First != p.Second {
		out.Kinds = append(out.Kinds, lines[p.Second].Kind)
	}
	return out
}

func (r *reader) findingProblem(f *stocking.Finding, lines []Line) Problem {
	out := Problem{Code: string(f.Code()), Severity: f.Severity.String(), Sentence: r.words.Sentence(f.Statement)}
	for _, line := range f.Lines {
		if k := lines[line].Kind; !slices.Contains(out.Kinds, k) {
			out.Kinds = append(out.Kinds, k)
		}
	}
	if f.Remedy != nil {
		out.Remedy = r.words.Sentence(f.Remedy.Statement)
	}
	return out
}

// maxOffers is the greatest number of offers on a page.
const maxOffers = 3

// maxOfferLines is the longest list for which a page searches offers and what to leave
// out: past it the search costs more than a page may.
const maxOfferLines = 12

func (r *reader) offers(out *List, stock stocking.Stock) {
	r.leaveOut(out)
	if r.check.Decision == stocking.Proceed || len(r.check.Lines) > maxOfferLines {
		return
	}
	found := remedies.Find(r.desk.book, stock, r.check)
	for _, remedy := range found.Best[:min(len(found.Best), maxOffers)] {
		o := Offer{Decision: remedy.Decision.String()}
		for _, c := range remedy.Changes {
			o.Sentences = append(o.Sentences, r.words.Sentence(c.Statement))
		}
		out.Offers = append(out.Offers, o)
	}
	if found.None != nil {
		out.NoOffer = r.words.Sentence(*found.None)
	}
}

func (r *reader) leaveOut(out *List) {
	for _, set := range r.check.LeaveOut.Sets {
		var left []Left
		for _, l := range set.Lines {
			left = append(left, Left{out.Lines[l.Line].Kind, r.words.Sentence(l.Reason)})
		}
		out.LeaveOut = append(out.LeaveOut, left)
	}
}
