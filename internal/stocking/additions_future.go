package stocking

import "slices"

// meetFuture looks for pairings that come to be in conflict as residents grow, and did
// not without the species.
func (sc *scan) meetFuture(w *weighing) {
	j := sc.with
	j.pairs, j.findings, j.future = nil, nil, nil
	j.judge()
	for i := range j.findings {
		f := &j.findings[i]
		if isAhead(f.Code()) && !slices.ContainsFunc(sc.base.findings, func(o Finding) bool {
			return isAhead(o.Code()) && o.Severity >= f.Severity && slices.Equal(o.Lines, f.Lines)
		}) {
			sc.against(w, reason{decision: decisionOfSeverity(f.Severity), with: sc.otherThan(f.Lines), list: true, finding: f})
		}
	}
}

// otherThan is the line of the list among the lines of a finding where the species is
// the other one, else TheTank.
func (sc *scan) otherThan(lines []int) int {
	if last := len(sc.base.lines); len(lines) == 2 && lines[1] == last {
		return lines[0]
	}
	return TheTank
}
