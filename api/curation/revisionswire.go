package curation

import (
	"commensal/api/gen"
	"commensal/api/wire"
	"commensal/internal/species"
	"commensal/internal/species/catalogue/compare"
	"commensal/internal/store"
)

// revisionWire tells of a revision; whose key made it is for curators.
func revisionWire(toCurator bool) func(store.Revision) gen.Revision {
	return func(r store.Revision) gen.Revision {
		out := gen.Revision{Revision: r.Number, CreatedAt: r.CreatedAt.UTC(), Note: r.Note, SpeciesCount: r.SpeciesCount}
		if toCurator {
			out.KeyId = wire.Optional(r.KeyID)
		}
		return out
	}
}

// historyWire leaves out the revisions that wrote an entry anew as it was.
func historyWire(list []store.EntryChange, wire func(store.Revision) gen.Revision) []gen.SpeciesRevision {
	out := []gen.SpeciesRevision{}
	for _, c := range list {
		line := gen.SpeciesRevision{Revision: wire(c.Revision), Kind: gen.SpeciesRevisionKindChanged, Changes: changesOf(c.Before, c.After)}
		switch {
		case c.Before == nil:
			line.Kind = gen.SpeciesRevisionKindAdded
		case c.After == nil:
			line.Kind = gen.SpeciesRevisionKindRemoved
		case len(line.Changes) == 0:
			continue
		}
		out = append(out, line)
	}
	return out
}

// changesOf is what changed in an entry; nothing where it came or went.
func changesOf(before, after *species.Species) []gen.FieldChange {
	if before == nil || after == nil {
		return []gen.FieldChange{}
	}
	d := compare.Catalogues(species.Catalogue{Species: []*species.Species{before}}, species.Catalogue{Species: []*species.Species{after}})
	if len(d.Changed) == 0 {
		return []gen.FieldChange{}
	}
	return wire.Mapped(d.Changed[0].Fields, fieldChangeWire)
}

func fieldChangeWire(f compare.FieldChange) gen.FieldChange {
	return gen.FieldChange{Field: f.Field, Old: wire.Optional(f.Old), New: wire.Optional(f.New)}
}

func differenceWire(from, to *edition) gen.RevisionDifference {
	d := compare.Catalogues(from.catalogue, to.catalogue)
	revision := revisionWire(true)
	return gen.RevisionDifference{
		From: revision(from.Revision), To: revision(to.Revision), Reordered: d.Moved,
		Added: wire.Mapped(d.Added, wire.SpeciesRef), Removed: wire.Mapped(d.Removed, wire.SpeciesRef), Lists: wire.Mapped(d.Lists, fieldChangeWire),
		Changed: wire.Mapped(d.Changed, func(c compare.EntryChange) gen.ChangedSpecies {
			_, s := to.find(c.ID)
			return gen.ChangedSpecies{Species: wire.SpeciesRef(s), Changes: wire.Mapped(c.Fields, fieldChangeWire)}
		}),
	}
}
