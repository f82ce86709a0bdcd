package coverage

import (
	"cmp"
	"slices"

	"commensal/internal/species"
)

// Report counts what a catalogue holds.
type Report struct {
	Entries, Forms int // Forms counts the entries that are trade forms
	Usual          int // entries that every shop or many shops have
	Words, Sources int
	Traits         []Filled // every trait, in order; entries with a value for any sex
	Water          []Filled // every water parameter, in order
	Zones          []Filled // zones and feeding_zones
	Habits         []Filled // feeds_by, active and availability
	Bases          []BasisCount
	Languages      []LanguageCount
	Families       []FamilyCount
}

// Filled is how many entries have a value under a key.
type Filled struct {
	Key      string
	Required bool
	Entries  int
}

// BasisCount is how many values rest on a basis, values of one sex among them.
// The shares of a report sum to 1 unless there are no values.
type BasisCount struct {
	Basis  species.Basis
	Values int
	Share  float64
}

// LanguageCount is how many names there are in a language, how many entries have at
// least one, and how many of those that every shop or many shops have.
type LanguageCount struct {
	Language              string
	Names, Entries, Usual int
}

// FamilyCount is how many entries there are of a family.
type FamilyCount struct {
	Family  string
	Entries int
}

// Of counts what a catalogue holds: the most frequent bases, languages and
// families come first.
func Of(c species.Catalogue) Report {
	r := Report{Entries: len(c.Species), Words: len(c.Words), Sources: len(c.Sources)}
	r.emptyRows()
	bases := make(map[species.Basis]int)
	languages := make(map[string]*LanguageCount)
	families := make(map[string]int)
	for _, s := range c.Species {
		if s.FormOf != "" {
			r.Forms++
		}
		if isUsual(s) {
			r.Usual++
		}
		r.countValues(s, bases)
		r.countHabits(s)
		countNames(s, languages)
		families[s.Family]++
	}
	r.Bases, r.Families = shares(bases), familyCounts(families)
	for _, l := range languages {
		r.Languages = append(r.Languages, *l)
	}
	slices.SortFunc(r.Languages, func(a, b LanguageCount) int {
		return cmp.Or(cmp.Compare(b.Names, a.Names), cmp.Compare(a.Language, b.Language))
	})
	return r
}

// emptyRows makes a row for all that can be filled.
func (r *Report) emptyRows() {
	for t := range species.Trait(species.NumTraits) {
		r.Traits = append(r.Traits, Filled{Key: t.String(), Required: t.Info().Required})
	}
	for p := range species.Parameter(species.NumParameters) {
		r.Water = append(r.Water, Filled{Key: p.String(), Required: true})
	}
	r.Habits = []Filled{{Key: "feeds_by"}, {Key: "active"}, {Key: "availability"}}
	r.Zones = []Filled{{Key: "zones", Required: true}, {Key: "feeding_zones"}}
}

func (r *Report) countValues(s *species.Species, bases map[species.Basis]int) {
	count := func(b species.Basis) int {
		if b == "" {
			return 0
		}
		bases[b]++
		return 1
	}
	for t := range species.NumTraits {
		n := count(s.Traits[t].Basis) + count(s.MaleTraits[t].Basis) + count(s.FemaleTraits[t].Basis)
		r.Traits[t].Entries += min(n, 1)
	}
	for p, w := range s.Water {
		r.Water[p].Entries += count(w.Basis)
	}
	r.Zones[0].Entries += count(s.Zones.Basis)
	r.Zones[1].Entries += count(s.FeedingZones.Basis)
}

// countHabits counts the words that need not be known.
func (r *Report) countHabits(s *species.Species) {
	for i, known := range []bool{s.FeedsBy != "", s.Active != "", s.Available != ""} {
		if known {
			r.Habits[i].Entries++
		}
	}
}

// isUsual says that a customer meets the animal in most shops.
func isUsual(s *species.Species) bool {
	return s.Available == species.EveryShop || s.Available == species.ManyShops
}

func countNames(s *species.Species, languages map[string]*LanguageCount) {
	seen := make(map[string]bool, 8)
	for _, n := range s.Names {
		l := languages[n.Language]
		if l == nil {
			l = &LanguageCount{Language: n.Language}
			languages[n.Language] = l
		}
		l.Names++
		if !seen[n.Language] {
			seen[n.Language] = true
			l.Entries++
			if isUsual(s) {
				l.Usual++
			}
		}
	}
}

func familyCounts(counts map[string]int) []FamilyCount {
	out := make([]FamilyCount, 0, len(counts))
	for family, n := range counts {
		if family != "" {
			out = append(out, FamilyCount{family, n})
		}
	}
	slices.SortFunc(out, func(a, b FamilyCount) int {
		return cmp.Or(cmp.Compare(b.Entries, a.Entries), cmp.Compare(a.Family, b.Family))
	})
	return out
}

func shares(counts map[species.Basis]int) []BasisCount {
	total := 0
	out := make([]BasisCount, 0, len(counts))
	for b, n := range counts {
		total += n
		out = append(out, BasisCount{Basis: b, Values: n})
	}
	for i := range out {
		out[i].Share = float64(out[i].Values) / float64(total)
	}
	slices.SortFunc(out, func(a, b BasisCount) int {
		return cmp.Or(cmp.Compare(b.Values, a.Values), cmp.Compare(a.Basis, b.Basis))
	})
	return out
}
