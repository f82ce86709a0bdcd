package answers

import (
	"slices"

	"commensal/internal/stocking"
	"commensal/internal/stocking/remedies"
)

// problems are what is told of the list, pairs and rules in one, the gravest first.
func (r *reader) problems(out *List) []Problem {
	list := make([]Problem, len(r.check.Reasons))
	for i := range r.check.Reasons {
		list[i] = r.problem(&r.check.Reasons[i], out)
	}
	return list
}

func (r *reader) problem(f *stocking.Finding, out *List) Problem {
	p := Problem{Code: string(f.Code()), Severity: f.Severity.String(), Sentence: r.words.Finding(f), Existing: f.Existing}
	for _, line := range f.Lines {
		if k := out.Lines[line].Kind; !slices.Contains(p.Kinds, k) {
			p.Kinds = append(p.Kinds, k)
		}
	}
	if f.Remedy != nil {
		p.Remedy = r.words.Sentence(f.Remedy.Statement)
	}
	if f.As != "" && len(f.Lines) > 0 { // it is a pairing, which has its own page
		q := r.ask(f.Lines[0], f.Lines[len(f.Lines)-1])
		p.Pair = &q
	}
	return p
}

// questions are what is worth asking before deciding.
func (r *reader) questions() []string {
	out := make([]string, len(r.check.Ask))
	for i := range r.check.Ask {
		out[i] = r.words.Sentence(r.check.Ask[i].Statement)
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
