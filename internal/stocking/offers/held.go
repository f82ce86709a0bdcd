package offers

import (
	"slices"

	"commensal/internal/stocking"
)

// held is what a check holds: positions in its lines, and what cannot be judged by its place in the caller's list.
type held struct {
	lines  []bool
	others []int
}

func (h *held) any() bool { return len(h.others) > 0 || slices.Contains(h.lines, true) }

// without is the list of a check without what it holds. Of fish that are about to join those are held that a reason to
// hold is about, all where none is about one of them; of a list without any, the smallest set to leave out.
func without(s *stocking.Stock, check *stocking.Check) (*stocking.Stock, *held) {
	h := &held{lines: make([]bool, len(check.Lines))}
	if check.Decision == stocking.Hold {
		h.gather(s, check)
	}
	rest := *s
	rest.Lines, rest.Others = nil, nil
	for i := range check.Lines {
		if !h.lines[i] {
			rest.Lines = append(rest.Lines, check.Lines[i])
		}
	}
	for _, o := range s.Others {
		if !slices.Contains(h.others, o.Ref) {
			rest.Others = append(rest.Others, o)
		}
	}
	return &rest, h
}

// gather finds what is held.
func (h *held) gather(s *stocking.Stock, check *stocking.Check) {
	joins := func(i int) bool { return check.Lines[i].Incoming }
	incoming := slices.ContainsFunc(check.Lines, func(l stocking.Line) bool { return l.Incoming }) ||
		slices.ContainsFunc(s.Others, func(o stocking.Other) bool { return o.Incoming })
	if !incoming && len(check.LeaveOut.Sets) > 0 {
		for _, l := range check.LeaveOut.Sets[0].Lines {
			h.lines[l.Line] = true
		}
		return
	}
	for i := range check.Reasons {
		f := &check.Reasons[i]
		if f.Severity != stocking.Stop && !f.Postpones || incoming && f.Existing {
			continue
		}
		if o := f.Other; o != nil && (o.Incoming || !incoming) {
			h.others = append(h.others, o.Ref)
		}
		for _, l := range f.Lines {
			h.lines[l] = h.lines[l] || joins(l) || !incoming
		}
	}
	if h.any() {
		return
	}
	for i := range check.Lines {
		h.lines[i] = joins(i) || !incoming
	}
	for _, o := range s.Others {
		if o.Incoming || !incoming {
			h.others = append(h.others, o.Ref)
		}
	}
}

// kind is the kind that is held, where it is one and none of it stays: what is like it comes first.
func (h *held) kind(check *stocking.Check, rest *stocking.Stock) *int {
	var kind *int
	for i, out := range h.lines {
		switch {
		case !out:
		case kind != nil && *kind != check.Lines[i].Index:
			return nil
		default:
			kind = &check.Lines[i].Index
		}
	}
	if kind != nil && slices.ContainsFunc(rest.Lines, func(l stocking.Line) bool { return l.Index == *kind }) {
		return nil
	}
	return kind
}
