package species

import (
	"slices"
	"strings"
	"unicode/utf8"
)

// withForm prefers a trade form with traits of its own where a word beside its species' name is
// the form's: a "gold veil angelfish" is a veil angelfish.
func (s *Snapshot) withForm(claims []claim, aside []string) ([]claim, []string) {
	if len(claims) != 1 || len(aside) == 0 {
		return claims, aside
	}
	parent := s.entries[claims[0].species]
	for i, e := range s.entries {
		if e.FormOf != parent.ID {
			continue
		}
		if rest, ok := formWords(e, parent, aside); ok {
			return []claim{{int32(i), MatchVernacular, e.VernacularName("en")}}, rest
		}
	}
	if bred := s.bredForm(parent); bred >= 0 && slices.ContainsFunc(aside, func(w string) bool { return strain(w) || unlisted(w) }) && !slices.ContainsFunc(aside, ofTheWild) {
		return []claim{{int32(bred), MatchVernacular, s.entries[bred].VernacularName("en")}}, aside
	}
	return claims, aside
}

// bredForm is the place of the form in which a species is bred in strains, where the species itself is not: a discus of some
// colour is a farmed one. It is -1 where there is none.
func (s *Snapshot) bredForm(parent *Species) int {
	if slices.Contains(bredInStrains, parent.ID) {
		return -1
	}
	return slices.IndexFunc(s.entries, func(e *Species) bool { return e.FormOf == parent.ID && slices.Contains(bredInStrains, e.ID) })
}

// strain reports whether a word tells a colour or a strain.
func strain(w string) bool { return labelWords[w] == wordKind }

// ofTheWild reports whether a word says that an animal was caught.
func ofTheWild(w string) bool { return wildWords[w] }

// wildWords say that an animal was caught, by their normal form.
var wildWords = func() map[string]bool {
	out := map[string]bool{}
	for w := range strings.FieldsSeq("wild caught wc wf wildfang wildfange wildform naturform sauvage sauvages salvaje salvajes selvagem selvagens ワイルド ワイルド個体 野生 野采") {
		out[normalise(w)] = true
	}
	return out
}()

// formWords reports whether the words beside a name have what one of a form's names adds to the
// names of its species, and gives back the other words.
func formWords(form, parent *Species, aside []string) (rest []string, ok bool) {
	common := map[string]bool{}
	for _, n := range parent.Names {
		for _, w := range strings.Fields(normalise(n.Text)) {
			common[w] = true
		}
	}
	aside = oneSpelling(aside)
	for _, n := range form.Names {
		var own []string
		for _, w := range oneSpelling(strings.Fields(normalise(n.Text))) {
			w = withoutName(w, common)
			if !common[w] && labelWords[w] != wordNoun {
				own = append(own, w)
			}
		}
		if len(own) > 0 && !slices.ContainsFunc(own, func(w string) bool { return !slices.Contains(aside, w) }) {
			return slices.DeleteFunc(slices.Clone(aside), func(w string) bool { return slices.Contains(own, w) }), true
		}
	}
	return nil, false
}

// longFins are words for fins drawn out by breeding, by their normal form.
var longFins = func() map[string]bool {
	out := map[string]bool{}
	for w := range strings.FieldsSeq("longfinned veil veiltail veiltailed schleier voile velo veu ロングフィン ベール 长鳍 长尾") {
		out[normalise(w)] = true
	}
	return out
}()

// oneSpelling writes the words for forms that are spelled in several ways in one. Long fins and veils are one: no kind is sold
// with both.
func oneSpelling(words []string) (out []string) {
	for i := 0; i < len(words); i++ {
		w, next := words[i], ""
		if i+1 < len(words) {
			next = words[i+1]
		}
		switch {
		case w == "long" && (next == "fin" || next == "fins" || next == "finned"):
			out = append(out, "longfin")
			i++
		case w == "veil" && next == "tail":
			out = append(out, "longfin")
			i++
		case longFins[w]:
			out = append(out, "longfin")
		default:
			out = append(out, w)
		}
	}
	return out
}

// withoutName is what a word of a script without spaces has in front of the longest of some names: ロングフィン of
// ロングフィンミニブッシープレコ.
func withoutName(w string, names map[string]bool) string {
	shortest := w
	for name := range names {
		if rest, ok := strings.CutSuffix(w, name); ok && w[0] >= utf8.RuneSelf && rest != "" && len(rest) < len(shortest) {
			shortest = rest
		}
	}
	return shortest
}
