package cataloguerows

import (
	"slices"

	"commensal/internal/species"
)

// Table is what one revision adds to one table. The revision itself goes in
// front of every row.
type Table struct {
	Name    string
	Columns []string
	Rows    [][]any
}

func (t *Table) add(row ...any) { t.Rows = append(t.Rows, row) }

// sexKey is the sex in the tables.
func sexKey(s species.Sex) string {
	if s == species.Unsexed {
		return "any"
	}
	return s.String()
}

// traitSet is one of an entry's three sets of traits with its sex.
type traitSet struct {
	sex    species.Sex
	traits *species.TraitSet
}

func traitSets(s *species.Species) [3]traitSet {
	return [3]traitSet{{species.Unsexed, &s.Traits}, {species.Male, &s.MaleTraits}, {species.Female, &s.FemaleTraits}}
}

// zoneUse is one of an entry's two uses of the zones with its name in the tables.
type zoneUse struct {
	activity string
	use      *species.ZoneUse
}

func zoneUses(s *species.Species) [2]zoneUse {
	return [2]zoneUse{{"swimming", &s.Zones}, {"feeding", &s.FeedingZones}}
}

// Tables are the rows of a catalogue, in an order that satisfies the
// foreign keys. Of the entries that were written before, and where, there is but the
// place in the list.
func Tables(revision int64, c species.Catalogue, written map[species.ID]int64) []Table {
	entries := Table{Name: "catalogue_entries", Columns: []string{"species_id", "position", "written_in", "form_of"}}
	var fresh []*species.Species
	for i, s := range c.Species {
		in, there := written[s.ID]
		if !there {
			in, fresh = revision, append(fresh, s)
		}
		entries.add(string(s.ID), i, in, parentOf(s))
	}
	tables := slices.Insert(entryTables(fresh), 1, entries)
	return append(tables, listTables(c)...)
}

// parentOf is the entry that a trade form is one of; null for a species.
func parentOf(s *species.Species) *string {
	if s.FormOf == "" {
		return nil
	}
	id := string(s.FormOf)
	return &id
}

// entryTables are the rows of entries, those of the entries themselves first.
func entryTables(list []*species.Species) []Table {
	entries := Table{Name: "species", Columns: []string{"id", "scientific_name", "family", "form", "body_form", "guild",
		"feeds_by", "active_hours", "social", "shape", "colours", "hybridises", "sexed_trade", "sold_as", "availability", "needs", "cautions", "legal_note", "note", "basis", "checked"}}
	names := Table{Name: "species_names", Columns: []string{"species_id", "position", "language", "name"}}
	synonyms := Table{Name: "species_synonyms", Columns: []string{"species_id", "position", "synonym"}}
	reviews := Table{Name: "species_reviews", Columns: []string{"species_id", "position", "field", "reason"}}
	traits := Table{Name: "species_traits", Columns: []string{"species_id", "sex", "trait", "low", "typical", "high", "unit", "basis"}}
	water := Table{Name: "species_water", Columns: []string{"species_id", "parameter", "tolerated_low", "preferred_low", "preferred_high", "tolerated_high", "unit", "basis"}}
	zones := Table{Name: "species_zones", Columns: []string{"species_id", "activity", "surface", "middle", "bottom", "basis"}}
	for _, s := range list {
		entries.add(entryRow(s)...)
		for j, n := range s.Names {
			names.add(string(s.ID), j, n.Language, n.Text)
		}
		for j, text := range s.Synonyms {
			synonyms.add(string(s.ID), j, text)
		}
		for j, v := range s.Reviewed {
			reviews.add(string(s.ID), j, v.Field, v.Reason)
		}
		addTraits(&traits, s)
		addWater(&water, s)
		addZones(&zones, s)
	}
	return []Table{entries, names, synonyms, reviews, traits, water, zones}
}

// listTables are the rows of the words and sources.
func listTables(c species.Catalogue) []Table {
	words := Table{Name: "group_words", Columns: []string{"position", "word"}}
	candidates := Table{Name: "group_word_candidates", Columns: []string{"word", "position", "species_id"}}
	sources := Table{Name: "sources", Columns: []string{"position", "key", "citation"}}
	for i, w := range c.Words {
		words.add(i, w.Word)
		for j, id := range w.Candidates {
			candidates.add(w.Word, j, string(id))
		}
	}
	for i, s := range c.Sources {
		sources.add(i, s.Key, s.Citation)
	}
	return []Table{words, candidates, sources}
}

func entryRow(s *species.Species) []any {
	return []any{string(s.ID), s.ScientificName, s.Family, s.Form, string(s.BodyForm), string(s.Guild),
		string(s.FeedsBy), string(s.Active), string(s.Social), s.Shape, array(s.Colours), array(s.Hybridises), s.SexedTrade, sexKey(s.SoldAs),
		string(s.Available), array(s.Needs), array(s.Cautions),
		s.LegalNote, s.Note, string(s.Basis), markTexts(s.Checked)}
}

// markTexts are the marks of agreement as the catalogue's text writes them.
func markTexts(marks []species.Mark) []string {
	out := make([]string, len(marks))
	for i, m := range marks {
		out[i] = m.String()
	}
	return out
}

func addTraits(table *Table, s *species.Species) {
	for _, set := range traitSets(s) {
		for t, v := range set.traits {
			if v.Known() {
				info := species.Trait(t).Info()
				table.add(string(s.ID), sexKey(set.sex), info.Key, v.Low, v.Typical, v.High, string(info.Unit), string(v.Basis))
			}
		}
	}
}

func addWater(table *Table, s *species.Species) {
	for p, w := range s.Water {
		if w.Known() {
			info := species.Parameter(p).Info()
			table.add(string(s.ID), info.Key, w.Tolerated.Low, w.Preferred.Low, w.Preferred.High, w.Tolerated.High, info.Unit, string(w.Basis))
		}
	}
}

func addZones(table *Table, s *species.Species) {
	for _, z := range zoneUses(s) {
		if z.use.Known() {
			share := z.use.Share
			table.add(string(s.ID), z.activity, share[species.Surface], share[species.Middle], share[species.Bottom], string(z.use.Basis))
		}
	}
}

// array is a list as PostgreSQL takes it: never null.
func array[T ~string](list []T) []string {
	out := make([]string, len(list))
	for i, s := range list {
		out[i] = string(s)
	}
	return out
}
