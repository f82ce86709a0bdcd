package lists

import (
	"strconv"
	"strings"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/wire"
	"commensal/internal/species"
	"commensal/internal/stocking/placements"
)

// maxBriefWhy is of how many arrivals without a place the short form says why.
const maxBriefWhy = 5

// briefPlacements are placements in brief: all arrivals, and why of the first that have no place, as far as
// there is room.
func (w *listWire) briefPlacements(p *placements.Placements, q *placementsAsked) gen.BriefPlacements {
	out := gen.BriefPlacements{Summary: w.words.Sentence(p.Summary), Arrivals: make([]gen.BriefArrival, len(p.Arrivals)),
		ModelVersion: w.book.Model.Version(), CatalogueRevision: w.book.Snapshot.Revision()}
	decided := map[int]gen.Decision{}
	for i := range p.Tanks {
		decided[p.Tanks[i].Tank] = gen.Decision(p.Tanks[i].Decision.String())
	}
	var why []int
	for i := range p.Arrivals {
		a, to := &p.Arrivals[i], &out.Arrivals[i]
		*to = gen.BriefArrival{Refs: q.refsOf(a.Refs), Fitting: a.Fitting}
		switch {
		case a.Tank >= 0:
			tank, d := a.Tank, decided[a.Tank]
			to.Tank, to.Label, to.ExternalRef, to.Decision = &tank, q.names[tank].Label, q.names[tank].ExternalRef, &d
		case len(a.Options) > 0 && len(why) < maxBriefWhy:
			reason := w.whyShort(&a.Why, q)
			to.Reason, why = &reason, append(why, i)
		}
	}
	for len(why) > 1 && !fitsBrief(&out) {
		out.Arrivals[why[len(why)-1]].Reason = nil
		why = why[:len(why)-1]
	}
	return out
}

// whyShort is what stands against an arrival, or why it has no place where nothing in particular does.
func (w *listWire) whyShort(y *placements.Why, q *placementsAsked) string {
	if y.Reason.Code != "" {
		return w.words.Short(y.Reason)
	}
	return w.why(y, q)
}

// fitsBrief reports whether a value is short enough for the short form.
func fitsBrief(value any) bool {
	text, err := respond.EncodeJSON(value)
	return err != nil || len(text) <= MaxBrief
}

// who says of each arrival which fish it is, and how many where that was told, for a slip: people at a desk do not know
// a line by its number.
func (q *placementsAsked) who(snapshot *species.Snapshot, p *placements.Placements) []string {
	out := make([]string, len(p.Arrivals))
	for i := range p.Arrivals {
		fish := make([]string, len(p.Arrivals[i].Refs))
		for j, at := range p.Arrivals[i].Refs {
			line := &q.arrivals[at].Line
			if fish[j] = wire.SpeciesRef(snapshot.At(line.Index)).VernacularName; line.Count > 0 {
				fish[j] = strconv.Itoa(line.Count) + " × " + fish[j]
			}
		}
		out[i] = strings.Join(fish, ", ")
	}
	return out
}

// refsOf is how the caller speaks of some of the incoming lines.
func (q *placementsAsked) refsOf(lines []int) []string {
	out := make([]string, len(lines))
	for i, at := range lines {
		if out[i] = "/incoming/" + strconv.Itoa(at); q.asked.Incoming[at].Ref != nil {
			out[i] = *q.asked.Incoming[at].Ref
		}
	}
	return out
}
