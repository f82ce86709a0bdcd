package species

import (
	"slices"
	"strings"
	"unicode/utf8"

	"commensal/internal/species/labels"
	"commensal/internal/species/spelling"
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
	if bred := s.bredForm(parent); bred >= 0 && slices.ContainsFunc(aside, func(w string) bool { return strain(w) || unlisted(w) }) && !slices.ContainsFunc(aside, labels.OfTheWild) {
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
func strain(w string) bool { return labels.Tells(w) == labels.Kind }

// formWords reports whether the words beside a name have what one of a form's names adds to the
// names of its species, and gives back the other words.
func formWords(form, parent *Species, aside []string) (rest []string, ok bool) {
	common := map[string]bool{}
	for _, n := range parent.Names {
		for _, w := range strings.Fields(spelling.Normal(n.Text)) {
			common[w] = true
		}
	}
	aside = labels.OneSpelling(aside)
	for _, n := range form.Names {
		var own []string
		for _, w := range labels.OneSpelling(strings.Fields(spelling.Normal(n.Text))) {
			w = withoutName(w, common)
			if !common[w] && labels.Tells(w) != labels.Noun {
				own = append(own, w)
			}
		}
		if len(own) > 0 && !slices.ContainsFunc(own, func(w string) bool { return !slices.Contains(aside, w) }) {
			return slices.DeleteFunc(slices.Clone(aside), func(w string) bool { return slices.Contains(own, w) }), true
		}
	}
	return nil, false
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

// bredInStrains are the kinds that are bred in so many named strains that no list holds them: a word
// before their name is the name of a strain.
var bredInStrains = []ID{
	"poecilia-reticulata", "poecilia-wingei", "poecilia-sphenops", "poecilia-latipinna", "xiphophorus-maculatus", "xiphophorus-variatus",
	"xiphophorus-hellerii", "betta-splendens", "pterophyllum-scalare", "pterophyllum-scalare-veil",
	"symphysodon-aequifasciatus-domestic", "astronotus-ocellatus", "carassius-auratus", "cyprinus-rubrofuscus",
	"neocaridina-davidi", "caridina-logemanni", "mikrogeophagus-ramirezi", "amphilophus-trimaculatus-flowerhorn", "danio-rerio",
	"ancistrus-cirrhosus", "pomacea-diffusa", "oryzias-latipes", "puntigrus-tetrazona",
}
