package stocking

import (
	"cmp"
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// canonical is the list in canonical order with like lines merged, so that the order
// in which a list is written never matters.
//
// The rule: lines of one species are merged, their counts added, when sex, length, age,
// disposition and months observed, incoming, keep and weight are all equal; otherwise
// they stay apart and are judged against each other as own kind. A line without a
// count stands for the customary group when it is merged with another.
func canonical(book *conflict.Book, lines []Line) []Line {
	out := slices.Clone(lines)
	for i := range out {
		l := &out[i]
		if l.Refs == nil {
			l.Refs = []int{i}
		}
		if l.Weight == 0 {
			l.Weight = 1
		}
		if l.Observed == conflict.Typical || l.MonthsObserved == 0 {
			l.Observed, l.MonthsObserved = conflict.Typical, 0
		}
	}
	slices.SortFunc(out, func(a, b Line) int {
		return cmp.Or(CompareLines(&a, &b), cmp.Compare(a.Count, b.Count), slices.Compare(a.Refs, b.Refs))
	})
	return merge(book, out)
}

// CompareLines orders lines by everything that keeps them apart; 0 means like lines.
func CompareLines(a, b *Line) int {
	return cmp.Or(
		cmp.Compare(a.Index, b.Index),
		cmp.Compare(a.Sex, b.Sex),
		cmp.Compare(a.LengthCM, b.LengthCM),
		cmp.Compare(a.AgeMonth, b.AgeMonth),
		cmp.Compare(a.Observed, b.Observed),
		cmp.Compare(a.MonthsObserved, b.MonthsObserved),
		compareBool(a.Incoming, b.Incoming),
		compareBool(a.Keep, b.Keep),
		cmp.Compare(a.Weight, b.Weight),
	)
}

// compareBool orders false before true.
func compareBool(a, b bool) int {
	switch {
	case a == b:
		return 0
	case b:
		return -1
	}
	return 1
}

// merge joins neighbours of equal kind in a sorted list.
func merge(book *conflict.Book, sorted []Line) []Line {
	out := sorted[:0]
	for _, l := range sorted {
		last := len(out) - 1
		if last < 0 || CompareLines(&out[last], &l) != 0 {
			out = append(out, l)
			continue
		}
		sp := book.Snapshot.At(l.Index)
		out[last].Count = heads(sp, &out[last]) + heads(sp, &l)
		out[last].Refs = append(slices.Clone(out[last].Refs), l.Refs...)
		slices.Sort(out[last].Refs)
	}
	return out
}

// heads is the number of fish in a line: as given, else the customary group, at least
// one, and one where the catalogue has no customary group.
func heads(sp *species.Species, l *Line) int {
	if l.Count > 0 {
		return l.Count
	}
	if v := sp.Trait(species.GroupMin, keptSex(sp, l.Sex)); v.Known() {
		return max(1, int(v.Typical+0.5))
	}
	return 1
}

// keptSex is the sex whose traits stand for a line: as told, else the sex sold.
func keptSex(sp *species.Species, told species.Sex) species.Sex {
	if told != species.Unsexed {
		return told
	}
	return sp.SoldAs
}

// Ref tells a line through changes of the list.
func (l *Line) Ref() int {
	if len(l.Refs) == 0 {
		return -1
	}
	return l.Refs[0]
}
