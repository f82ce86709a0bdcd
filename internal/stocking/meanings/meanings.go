// Package meanings judges a list on which a name may mean several kinds: under each of them, by
// [stocking.Judge] alone, so that the harshest is the one told.
package meanings

import (
	"cmp"
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/stocking"
)

// maxMeaningWork bounds the pairings that are scored to judge the meanings of unclear names.
const maxMeaningWork = 150_000

// Unclear is a name on a list that may mean several kinds, and what the list comes to under each.
type Unclear struct {
	Word     string
	Refs     []int     // the caller's lines that it stands on
	Meanings []Meaning // in the order given, the likeliest first
	// Agree is set where the decision and its main reason are the same whichever is meant.
	Agree bool
	// Untried is how many of them were not judged for want of time, and Broader how many less likely
	// kinds the name may mean besides.
	Untried, Broader int
}

// Meaning is one kind that a name may mean, with what the list comes to if it does.
type Meaning struct {
	Index    int
	Decision stocking.Decision
	Main     stocking.Code // the gravest reason that leads to the decision
	gravity  float64
}

// Settle gives every unclear name its harshest meaning: the one under which the list is decided
// most severely, the other unclear names at theirs. It never fails: a list that cannot be judged is
// given back as it is, for [stocking.Judge] to refuse. Lines of one name mean one kind.
func Settle(book *conflict.Book, s stocking.Stock) (stocking.Stock, []Unclear) {
	words := unclearWords(&s)
	if len(words) == 0 || s.Validate(book) != nil {
		return s, nil
	}
	s.Lines = slices.Clone(s.Lines)
	trials := maxMeaningWork / max(1, len(s.Lines)*(len(s.Lines)+1)/2)
	each := max(1, trials/(2*len(words)))
	for range 2 { // the second time with all others at their harshest
		for i := range words {
			words[i].tryAll(book, &s, each)
			words[i].take(&s, words[i].harshest())
		}
	}
	out := make([]Unclear, len(words))
	for i := range words {
		out[i] = words[i].Unclear
		out[i].Agree = out[i].Untried == 0 && out[i].agrees()
	}
	return s, out
}

// unclear is a name with the positions of its lines.
type unclear struct {
	Unclear
	lines    []int
	meanings []int
}

// unclearWords gathers the names with several meanings; lines with the same meanings carry one name.
func unclearWords(s *stocking.Stock) (words []unclear) {
	for i := range s.Lines {
		l := &s.Lines[i]
		if len(l.Meanings) < 2 {
			continue
		}
		at := slices.IndexFunc(words, func(w unclear) bool { return slices.Equal(w.meanings, l.Meanings) })
		if at < 0 {
			at = len(words)
			words = append(words, unclear{Unclear: Unclear{Word: l.Word, Broader: l.Broader}, meanings: l.Meanings})
		}
		words[at].lines = append(words[at].lines, i)
		ref := i
		if l.Refs != nil {
			ref = l.Refs[0]
		}
		words[at].Refs = append(words[at].Refs, ref)
	}
	return words
}

// tryAll judges the list under each of the first meanings.
func (u *unclear) tryAll(book *conflict.Book, s *stocking.Stock, most int) {
	n := min(most, len(u.meanings))
	u.Meanings, u.Untried = make([]Meaning, n), len(u.meanings)-n
	for i, index := range u.meanings[:n] {
		u.take(s, index)
		u.Meanings[i] = outcome(book, s)
		u.Meanings[i].Index = index
	}
}

// take lets the name mean a kind.
func (u *unclear) take(s *stocking.Stock, index int) {
	for _, i := range u.lines {
		s.Lines[i].Index = index
	}
}

// harshest is the meaning under which most stands against the list, the likeliest of equals.
func (u *unclear) harshest() int {
	return slices.MinFunc(u.Meanings, func(a, b Meaning) int {
		return cmp.Or(cmp.Compare(b.Decision, a.Decision), cmp.Compare(b.gravity, a.gravity))
	}).Index
}

func (u *Unclear) agrees() bool {
	first := u.Meanings[0]
	return !slices.ContainsFunc(u.Meanings, func(m Meaning) bool {
		return m.Decision != first.Decision || first.Decision != stocking.Proceed && m.Main != first.Main
	})
}

// outcome judges a list for its decision, its main reason and how much stands against it.
func outcome(book *conflict.Book, s *stocking.Stock) Meaning {
	j := stocking.NewAssessment(book, s)
	m := Meaning{Decision: j.Judge()}
	for i := range j.Findings {
		f := &j.Findings[i]
		if m.Main == "" && stocking.DecisionOf(j.Findings[i:i+1]) == m.Decision {
			m.Main = f.Code()
		}
		m.gravity += float64(f.Severity) * 100
	}
	for i := range j.Pairs {
		m.gravity += j.Pairs[i].Score
	}
	return m
}
