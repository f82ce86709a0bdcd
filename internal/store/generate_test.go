package store_test

import (
	"fmt"
	"slices"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/entry"

	"pgregory.net/rapid"
)

// Every word of the closed vocabularies, so that a word the tables do not know
// fails a test.
var (
	bodyForms = []species.BodyForm{"", species.EelLike, species.Elongated, species.Fusiform, species.ShortDeep,
		species.ShrimpForm, species.CrayfishForm, species.CrabForm, species.SnailForm, species.ClamForm}
	guilds = []species.Guild{"", species.Piscivore, species.Predator, species.Invertivore, species.Planktivore, species.Omnivore,
		species.Herbivore, species.AlgaeGrazer, species.Detritivore, species.FinScaleEat, species.Molluscivore,
		species.Scavenger, species.FilterFeeder}
	socials  = []species.Social{"", species.Solitary, species.Single, species.Pair, species.Harem, species.Group, species.Colony}
	cautions = []species.Caution{species.Venomous, species.SharpSpines, species.Electric, species.Bites, species.Poisonous, species.Regulated,
		species.Invasive, species.Tankbuster, species.WildCaught, species.HardToFeed, species.ShortLived, species.NeedsAirGap, species.SaltOverTime}
	bases = []species.Basis{species.Memory, "source:froese2014", "source:K"}
)

// anyText has letters of several scripts, quotes, backslashes and line ends.
func anyText() *rapid.Generator[string] {
	return rapid.StringOf(rapid.RuneFrom([]rune("aZ é ñ ß 鯉 № \\ \t \n \r ' \" , { } NULL 🐟\u0301")))
}

func someText() *rapid.Generator[string] {
	return rapid.Custom(func(t *rapid.T) string { return "x" + anyText().Draw(t, "text") })
}

// lists are nil when empty, the form in which the store gives them back.
func lists[T any](g *rapid.Generator[T]) *rapid.Generator[[]T] {
	return rapid.Map(rapid.SliceOfN(g, 0, 3), func(l []T) []T {
		if len(l) == 0 {
			return nil
		}
		return l
	})
}

// ordered draws n finite numbers in order, within grade's range if asked.
func ordered(t *rapid.T, n int, grade bool) []float64 {
	g := rapid.Float64()
	if grade {
		g = rapid.Float64Range(0, 1)
	}
	g = g.Filter(func(f float64) bool { return f-f == 0 }) // finite
	numbers := rapid.SliceOfN(g, n, n).Draw(t, "numbers")
	slices.Sort(numbers)
	return numbers
}

func traitSets() *rapid.Generator[species.TraitSet] {
	return rapid.Custom(func(t *rapid.T) (set species.TraitSet) {
		for i := range set {
			if rapid.Bool().Draw(t, "known") {
				n := ordered(t, 3, species.Trait(i).Info().Unit == species.Grade)
				set[i] = species.Value{Band: species.Band{Low: n[0], Typical: n[1], High: n[2]}, Basis: rapid.SampledFrom(bases).Draw(t, "basis")}
			}
		}
		return set
	})
}

func zoneUses() *rapid.Generator[species.ZoneUse] {
	return rapid.Custom(func(t *rapid.T) (z species.ZoneUse) {
		if !rapid.Bool().Draw(t, "known") {
			return z
		}
		surface := rapid.Float64Range(0, 1).Draw(t, "surface")
		middle := rapid.Float64Range(0, 1-surface).Draw(t, "middle")
		z.Share = [species.NumZones]float64{surface, middle, max(0, 1-surface-middle)}
		z.Basis = rapid.SampledFrom(bases).Draw(t, "basis")
		return z
	})
}

func entries(id species.ID, parents []species.ID) *rapid.Generator[*species.Species] {
	return rapid.Custom(func(t *rapid.T) *species.Species {
		s := &species.Species{
			ID: id, ScientificName: anyText().Draw(t, "scientific name"), Family: anyText().Draw(t, "family"), Form: anyText().Draw(t, "form"),
			Names: lists(rapid.Custom(func(t *rapid.T) species.Name {
				return species.Name{Language: rapid.SampledFrom([]string{"en", "de", "zh-Hant"}).Draw(t, "language"), Text: someText().Draw(t, "name")}
			})).Draw(t, "names"),
			Synonyms: lists(someText()).Draw(t, "synonyms"),
			BodyForm: rapid.SampledFrom(bodyForms).Draw(t, "body form"), Guild: rapid.SampledFrom(guilds).Draw(t, "guild"),
			FeedsBy:   rapid.SampledFrom(append([]species.Feeding{""}, entry.Feedings...)).Draw(t, "feeds by"),
			Active:    rapid.SampledFrom(append([]species.Hours{""}, entry.ActiveHours...)).Draw(t, "active"),
			Available: rapid.SampledFrom(append([]species.Availability{""}, entry.Availabilities...)).Draw(t, "available"),
			Social:    rapid.SampledFrom(socials).Draw(t, "social"), Shape: anyText().Draw(t, "shape"),
			Colours: lists(anyText()).Draw(t, "colours"), Hybridises: lists(anyText()).Draw(t, "hybridises"), SexedTrade: rapid.Bool().Draw(t, "sexed"),
			SoldAs: rapid.SampledFrom([]species.Sex{species.Unsexed, species.Male, species.Female}).Draw(t, "sold as"),
			Needs:  lists(anyText()).Draw(t, "needs"), Cautions: lists(rapid.SampledFrom(cautions)).Draw(t, "cautions"),
			LegalNote: anyText().Draw(t, "legal note"), Note: anyText().Draw(t, "note"), Basis: rapid.SampledFrom(bases).Draw(t, "basis"),
			Reviewed: lists(rapid.Custom(func(t *rapid.T) species.Review {
				return species.Review{Field: someText().Draw(t, "field"), Reason: someText().Draw(t, "reason")}
			})).Draw(t, "reviewed"),
			Checked: lists(rapid.Custom(func(t *rapid.T) species.Mark {
				return species.Mark{Source: rapid.StringMatching(`[a-z]{1,6}`).Draw(t, "source"), Field: "water ph", Value: rapid.StringMatching(`[1-9]( 7\.[1-9])?`).Draw(t, "value")}
			})).Draw(t, "checked"),
			Traits: traitSets().Draw(t, "traits"), MaleTraits: traitSets().Draw(t, "male traits"), FemaleTraits: traitSets().Draw(t, "female traits"),
			Zones: zoneUses().Draw(t, "zones"), FeedingZones: zoneUses().Draw(t, "feeding zones"),
		}
		if len(parents) > 0 && rapid.Bool().Draw(t, "is a form") {
			s.FormOf = rapid.SampledFrom(parents).Draw(t, "parent")
		}
		for p := range s.Water {
			if rapid.Bool().Draw(t, "known") {
				n := ordered(t, 4, false)
				s.Water[p] = species.WaterRange{Tolerated: species.Range{Low: n[0], High: n[3]}, Preferred: species.Range{Low: n[1], High: n[2]},
					Basis: rapid.SampledFrom(bases).Draw(t, "basis")}
			}
		}
		return s
	})
}

// catalogues draws whole catalogues of up to four entries.
func catalogues() *rapid.Generator[species.Catalogue] {
	return rapid.Custom(func(t *rapid.T) (c species.Catalogue) {
		var ids []species.ID
		for _, n := range rapid.Permutation([]int{1, 2, 3, 4}).Draw(t, "numbers")[:rapid.IntRange(0, 4).Draw(t, "entries")] {
			id := species.ID(fmt.Sprintf("genus-species-%d", n))
			c.Species = append(c.Species, entries(id, ids).Draw(t, string(id)))
			ids = append(ids, id)
		}
		for i := range rapid.IntRange(0, 2).Draw(t, "words") {
			w := species.GroupWord{Word: fmt.Sprint(someText().Draw(t, "word"), i)}
			if len(ids) > 0 {
				w.Candidates = lists(rapid.SampledFrom(ids)).Draw(t, "candidates")
			}
			c.Words = append(c.Words, w)
		}
		for i := range rapid.IntRange(0, 2).Draw(t, "sources") {
			c.Sources = append(c.Sources, species.Source{Key: fmt.Sprint("key", 9-i), Citation: anyText().Draw(t, "citation")})
		}
		return c
	})
}

// sample is a small catalogue to change in a test: two species and a form.
func sample() species.Catalogue {
	fish := func(id species.ID, name string) *species.Species {
		s := &species.Species{ID: id, ScientificName: name, Basis: species.Memory, Names: []species.Name{{Language: "en", Text: "a fish"}}}
		s.Traits[species.Length] = species.Value{Band: species.Band{Low: 3, Typical: 3.5, High: 4}, Basis: species.Memory}
		s.Traits[species.Armour] = species.Value{Band: species.Band{Low: 0, Typical: 0, High: 0.1}, Basis: species.Memory}
		s.Water[species.PH] = species.WaterRange{Tolerated: species.Range{Low: 5, High: 8}, Preferred: species.Range{Low: 6, High: 7}, Basis: species.Memory}
		s.Zones = species.ZoneUse{Share: [species.NumZones]float64{0.25, 0.5, 0.25}, Basis: species.Memory}
		return s
	}
	form := fish("betta-splendens-veil", "Betta splendens")
	form.FormOf, form.Form = "betta-splendens", "veil"
	return species.Catalogue{
		Species: []*species.Species{fish("betta-splendens", "Betta splendens"), form, fish("betta-imbellis", "Betta imbellis")},
		Words:   []species.GroupWord{{Word: "fighter", Candidates: []species.ID{"betta-splendens", "betta-imbellis"}}},
		Sources: []species.Source{{Key: "froese2014", Citation: "Froese, Thorson & Reyes 2014"}},
	}
}
