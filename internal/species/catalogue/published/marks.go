package published

import (
	"cmp"
	"slices"

	"commensal/internal/species"
)

// Marked gives copies of the entries whose marks change by a report: a value that agrees gets the mark
// of its source, one that was compared and does not loses it, and so does every value that has changed
// since it was compared. A value that itself cites the source needs no mark of it.
func (r *Report) Marked(entries []*species.Species) []*species.Species {
	found := make(map[species.ID][]Finding)
	for _, f := range r.Findings {
		found[f.Species] = append(found[f.Species], f)
	}
	var out []*species.Species
	for _, s := range entries {
		marks := r.marks(s, found[s.ID])
		if !slices.Equal(marks, s.Checked) {
			c := *s
			c.Checked = marks
			out = append(out, &c)
		}
	}
	return out
}

// marks are the marks of one entry after the comparison, by source.
func (r *Report) marks(s *species.Species, found []Finding) []species.Mark {
	var out []species.Mark
	for _, m := range s.Checked {
		compared := m.Source == r.Source && slices.ContainsFunc(found, func(f Finding) bool { return f.Field == m.Field })
		if s.Holds(m) && !compared {
			out = append(out, m)
		}
	}
	for _, f := range found {
		if f.Outcome == Agrees && f.Basis != species.Basis("source:"+r.Source) {
			out = append(out, species.Mark{Source: r.Source, Field: f.Field, Value: f.Catalogue})
		}
	}
	slices.SortStableFunc(out, func(a, b species.Mark) int { return cmp.Compare(a.Source, b.Source) })
	return out
}
