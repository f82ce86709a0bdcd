package records

import (
	"slices"

	"commensal/api/gen"
	"commensal/api/wire"
	"commensal/internal/species"
)

// moved lists the species of the record that today's catalogue has under another id, found by the
// scientific name of then, or not at all.
func (p *replay) moved() []gen.MovedSpecies {
	out, seen, snap := []gen.MovedSpecies{}, map[string]bool{}, p.book.Snapshot
	for i := range p.then.Lines {
		ref := &p.then.Lines[i].Species
		if _, there := snap.ByID(species.ID(ref.Id)); there || seen[ref.Id] {
			continue
		}
		seen[ref.Id] = true
		m := gen.MovedSpecies{Species: ref.Id, ScientificName: ref.ScientificName}
		if match, err := snap.Resolve(ref.ScientificName); err == nil {
			m.Now = wire.Optional(string(match.Species.ID))
		}
		out = append(out, m)
	}
	return out
}

// goneOf are those that the catalogue does not have at all.
func goneOf(moved []gen.MovedSpecies) []gen.MovedSpecies {
	return slices.DeleteFunc(slices.Clone(moved), func(m gen.MovedSpecies) bool { return m.Now != nil })
}

// todays is the recorded list under the ids of today.
func (p *replay) todays(moved []gen.MovedSpecies) *gen.RecordedInput {
	in := p.input
	in.Residents, in.Incoming = slices.Clone(in.Residents), slices.Clone(in.Incoming)
	for _, lines := range [...][]gen.LineInput{in.Residents, in.Incoming} {
		for i := range lines {
			lines[i].Species = idNow(moved, lines[i].Species)
		}
	}
	return &in
}

// idNow is the id of today of a species that is not gone.
func idNow(moved []gen.MovedSpecies, id string) string {
	for _, m := range moved {
		if m.Species == id && m.Now != nil {
			return *m.Now
		}
	}
	return id
}
