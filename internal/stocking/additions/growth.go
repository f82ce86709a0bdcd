package additions

import (
	"slices"

	"commensal/internal/stocking"
)

// meetFuture looks for pairings that come to be in conflict as residents grow, and did
// not without the species.
func (sc *ranking) meetFuture(w *candidate) {
	j := sc.with
	j.Judge()
	for i := range j.Findings {
		f := &j.Findings[i]
		if stocking.IsAhead(f.Code()) && !slices.ContainsFunc(sc.base.Findings, func(o stocking.Finding) bool {
			return stocking.IsAhead(o.Code()) && o.Severity >= f.Severity && slices.Equal(o.Lines, f.Lines)
		}) {
			sc.against(w, reason{decision: decisionOfSeverity(f.Severity), with: sc.otherThan(f.Lines), list: true, finding: f})
		}
	}
}

// otherThan is the line of the list among the lines of a finding where the species is
// the other one, else TheTank.
func (sc *ranking) otherThan(lines []int) int {
	if last := len(sc.base.Lines); len(lines) == 2 && lines[1] == last {
		return lines[0]
	}
	return stocking.TheTank
}
