package cataloguetest

import (
	"slices"
	"strings"
	"unicode"

	"commensal/internal/species"
	"pgregory.net/rapid"
)

// LegalSpecies draws an entry that the format can hold, with any mixture of present
// and absent content: nothing else about it needs to make sense.
func LegalSpecies() *rapid.Generator[*species.Species] {
	return rapid.Custom(func(t *rapid.T) *species.Species {
		s := &species.Species{
			ScientificName: rapid.StringMatching(`[A-Z][a-z]{1,8} [a-z]{2,8}`).Draw(t, "name"),
			Family:         optional(t, "family", rapid.StringMatching(`[A-Z][a-z]{2,6}idae`)),
			Synonyms:       TextList(t, "synonyms"),
			Names:          names(t),
			BodyForm:       optional(t, "body form", rapid.SampledFrom([]species.BodyForm{species.EelLike, species.ShortDeep})),
			Guild:          optional(t, "guild", rapid.SampledFrom([]species.Guild{species.Predator, species.FinScaleEat})),
			FeedsBy:        optional(t, "feeds by", rapid.SampledFrom([]species.Feeding{species.AmbushPrey, species.FilterWater})),
			Active:         optional(t, "active", rapid.SampledFrom([]species.Hours{species.ByNight, species.AnyHour})),
			Available:      optional(t, "available", rapid.SampledFrom([]species.Availability{species.EveryShop, species.RareSeller})),
			Social:         optional(t, "social", rapid.SampledFrom([]species.Social{species.Solitary, species.Colony})),
			Shape:          optional(t, "shape", rapid.SampledFrom([]string{"torpedo", "mudskipper"})),
			Colours:        some(t, "colours", []string{"red", "blue", "spots"}),
			Needs:          some(t, "needs", []string{"sand", "unheated"}),
			Cautions:       some(t, "cautions", []species.Caution{species.Venomous, species.SaltOverTime, species.Bites}),
			Hybridises:     TextList(t, "hybridises"),
			SexedTrade:     rapid.Bool().Draw(t, "sexed"),
			SoldAs:         rapid.SampledFrom([]species.Sex{species.Unsexed, species.Male, species.Female}).Draw(t, "sold as"),
			LegalNote:      optional(t, "legal note", LegalText()),
			Note:           optional(t, "note", LegalText()),
			Basis:          optional(t, "basis", basis()),
			Reviewed:       reviews(t),
			Checked:        marks(t),
			Traits:         traitSet(t, "traits"),
			MaleTraits:     traitSet(t, "male"),
			FemaleTraits:   traitSet(t, "female"),
			Zones:          zones(t, "zones"),
			FeedingZones:   zones(t, "feeding zones"),
		}
		if rapid.Bool().Draw(t, "is form") {
			s.Form = rapid.StringMatching(`[a-z]{3,8}`).Draw(t, "form")
			s.FormOf = species.MakeID(s.ScientificName, "")
		}
		s.ID = species.MakeID(s.ScientificName, s.Form)
		for p := range s.Water {
			s.Water[p] = waterRange(t)
		}
		return s
	})
}

func optional[T any](t *rapid.T, label string, g *rapid.Generator[T]) T {
	var zero T
	return rapid.OneOf(rapid.Just(zero), g).Draw(t, label)
}

// LegalText draws one line of text, the awkward ones for YAML among them.
func LegalText() *rapid.Generator[string] {
	awkward := rapid.SampledFrom([]string{
		"no", "Null", "~", "12", "1.5e3", "0x1F", "2001-02-03", ".inf", "- a", "a: b", "a #b", "# a", "[a]", "{a: b}", "&a", "*a", "!a",
		"|", ">", "'a'", `"`, `\`, "a, b", "?", "%a", "@a", "`a`", "<<", "---", "...", "Ångström's Fisch", "快鱼", "a\u00a0b", "a\u200db", "a:b", "a:", "a:1", "a ,b", "=", "y", "a  b",
	})
	return rapid.OneOf(awkward, rapid.StringN(1, 30, -1).Filter(func(s string) bool {
		return strings.TrimSpace(s) == s && !strings.ContainsFunc(s, func(c rune) bool {
			return unicode.IsControl(c) || unicode.In(c, unicode.Zl, unicode.Zp) || c == '\ufeff' || c == unicode.ReplacementChar
		})
	}))
}

// TextList draws a list of texts, nil where it is empty.
func TextList(t *rapid.T, label string) []string {
	return orNil(rapid.SliceOfNDistinct(LegalText(), 0, 3, rapid.ID).Draw(t, label))
}

func names(t *rapid.T) []species.Name {
	var out []species.Name
	for _, language := range some(t, "languages", []string{"en", "de", "no", "zh-Hans", "pt-BR"}) {
		for _, text := range rapid.SliceOfNDistinct(LegalText(), 1, 3, rapid.ID).Draw(t, "names") {
			out = append(out, species.Name{Language: language, Text: text})
		}
	}
	return out
}

func reviews(t *rapid.T) []species.Review {
	var out []species.Review
	for _, field := range some(t, "reviewed", []string{"territory", "male length", "water gh", "zones", "names en"}) {
		out = append(out, species.Review{Field: field, Reason: LegalText().Draw(t, "reason")})
	}
	return out
}

func marks(t *rapid.T) []species.Mark {
	var out []species.Mark
	for _, field := range some(t, "checked", []string{"length", "water ph", "lifespan"}) {
		source := rapid.StringMatching(`[a-z][a-z0-9-]{0,8}`).Draw(t, "source")
		out = append(out, species.Mark{Source: source, Field: field, Value: rapid.StringMatching(`[1-9][0-9]?( 0\.[1-9]){0,3}`).Draw(t, "compared")})
	}
	return out
}

// some draws words of a list, in any order.
func some[T any](t *rapid.T, label string, list []T) []T {
	n := rapid.IntRange(0, len(list)).Draw(t, label)
	return orNil(rapid.Permutation(list).Draw(t, label)[:n:n])
}

func orNil[T any](list []T) []T {
	if len(list) == 0 {
		return nil
	}
	return list
}

func basis() *rapid.Generator[species.Basis] {
	return rapid.Custom(func(t *rapid.T) species.Basis {
		return species.Basis(rapid.StringMatching(`memory|source:[A-Za-z0-9._-]{1,9}`).Draw(t, "basis"))
	})
}

// ascending draws numbers that never fall, of every size a float has.
func ascending(t *rapid.T, n int) []float64 {
	x := rapid.SliceOfN(rapid.OneOf(rapid.Float64Range(0, 100), rapid.Float64Min(0)), n, n).Draw(t, "numbers")
	slices.Sort(x)
	return x
}

func traitSet(t *rapid.T, label string) species.TraitSet {
	var set species.TraitSet
	for _, i := range rapid.SliceOfNDistinct(rapid.IntRange(0, species.NumTraits-1), 0, 4, rapid.ID).Draw(t, label) {
		x := ascending(t, 3)
		set[i] = species.Value{Band: species.Band{Low: x[0], Typical: x[1], High: x[2]}, Basis: basis().Draw(t, "basis")}
	}
	return set
}

func waterRange(t *rapid.T) species.WaterRange {
	if rapid.Bool().Draw(t, "absent") {
		return species.WaterRange{}
	}
	x := ascending(t, 4)
	return species.WaterRange{
		Tolerated: species.Range{Low: x[0], High: x[3]}, Preferred: species.Range{Low: x[1], High: x[2]}, Basis: basis().Draw(t, "basis"),
	}
}

func zones(t *rapid.T, label string) species.ZoneUse {
	if rapid.Bool().Draw(t, label) {
		return species.ZoneUse{}
	}
	return species.ZoneUse{Share: [3]float64(ascending(t, 3)), Basis: basis().Draw(t, "basis")}
}
