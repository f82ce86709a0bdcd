package wording

import (
	"strconv"

	"commensal/internal/species"
	"commensal/internal/stocking/meanings"
)

// WhicheverOrWhich says what an unclear name comes to: that it does not matter which is meant, or what
// it matters.
func (w Words) WhicheverOrWhich(snapshot *species.Snapshot, u *meanings.Unclear) string {
	if !u.Agree {
		return w.Which(snapshot, u)
	}
	said := strconv.Quote(u.Word) + ": " + w.lang.lead[u.Meanings[0].Decision] + ", whichever it is: "
	kinds := make([]*species.Species, len(u.Meanings))
	for i, m := range u.Meanings {
		kinds[i] = snapshot.At(m.Index)
	}
	for most := len(kinds); most > 1; most-- {
		if text := said + listOf(kinds, most) + w.lang.dot; len([]rune(text)) <= SummaryLimit {
			return text
		}
	}
	return cut(said+listOf(kinds, 1)+w.lang.dot, SummaryLimit)
}

// Which asks which kind is meant, and says which meanings differ most and in what.
func (w Words) Which(snapshot *species.Snapshot, u *meanings.Unclear) string {
	best, worst := u.Meanings[0], u.Meanings[0]
	for _, m := range u.Meanings {
		if m.Decision < best.Decision {
			best = m
		}
		if m.Decision > worst.Decision || m.Decision == worst.Decision && worst.Main == best.Main {
			worst = m
		}
	}
	ask := "Which " + strconv.Quote(u.Word) + " is it?"
	if u.Untried > 0 && len(u.Meanings) == 1 {
		return cut(ask+" Judged as "+pluralOf(snapshot.At(u.Meanings[0].Index))+w.lang.dot, SummaryLimit)
	}
	said := func(m meanings.Meaning) string { return pluralOf(snapshot.At(m.Index)) + ": " + w.verdict(&m) }
	text := ask + " " + upperFirst(said(worst)) + "; " + said(best) + w.lang.dot
	return cut(text, SummaryLimit)
}

// verdict is a decision in lower case.
func (w Words) verdict(m *meanings.Meaning) string { return m.Decision.String() }
