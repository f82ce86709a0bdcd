package species

import (
	"slices"
	"strings"
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
	return claims, aside
}

// formWords reports whether the words beside a name have what one of a form's names adds to the
// names of its species, and gives back the other words.
func formWords(form, parent *Species, aside []string) (rest []string, ok bool) {
	common := map[string]bool{}
	for _, n := range parent.Names {
		for _, w := range strings.Fields(normalise(n.Text)) {
			common[w] = true
		}
	}
	for _, n := range form.Names {
		var own []string
		for _, w := range strings.Fields(normalise(n.Text)) {
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
