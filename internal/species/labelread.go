package species

import (
	"maps"
	"slices"
	"strings"

	"commensal/internal/species/labels"
	"commensal/internal/species/spelling"
)

// read finds what the words of a label mean, and the words that stand beside the name. None of the words not is a name
// or stands in one.
func (s *Snapshot) read(words, not []string) (claims []claim, aside []string) {
	if len(words) > maxLabelWords {
		return nil, nil
	}
	inNames := s.names.inNames(words)
	for i, w := range words {
		inNames[i] = inNames[i] && !slices.Contains(not, w)
	}
	heads, aside := s.names.heads(words, inNames, 0, false)
	if len(heads) == 0 { // a word for colour or strain may be a name as well
		heads, aside = s.names.heads(words, inNames, 0, true)
	}
	if loose(heads) && slices.ContainsFunc(aside, unlisted) {
		return nil, nil // "fancy swordtale" is no fancy goldfish: the word that tells the kind is not understood
	}
	if len(heads) == 0 {
		return nil, nil
	}
	if family := codedFamily(words); family != "" {
		heads, aside = s.ofFamily(heads, family, aside)
	}
	if len(heads) == 0 {
		return nil, nil
	}
	claims, lost, coded := s.agreeing(heads)
	aside = append(aside, lost...)
	claims = s.bred(s.within(claims, kingdomOf(words)), aside)
	if !coded && !isBinomial(heads, claims) && !s.tells(claims, s.withoutGroupWords(claims, heads, aside)) {
		return nil, nil
	}
	return s.withForm(claims, aside)
}

// isBinomial reports whether one kind is named by genus and epithet: what stands beside those is no other kind, but a place, a
// strain or a name in another language.
func isBinomial(heads []head, claims []claim) bool {
	return len(claims) == 1 && slices.ContainsFunc(heads, func(h head) bool { return h.isBinomial() && h.claims[0].species == claims[0].species })
}

// leastNamed is how many kinds have names with a noun that says no more than which group they are of.
const leastNamed = 4

// withoutGroupWords are the words beside the whole name of one kind without the nouns that many kinds have in their names, one of
// its family among them: a "pangasius shark".
func (s *Snapshot) withoutGroupWords(claims []claim, heads []head, aside []string) []string {
	if len(claims) != 1 || loose(heads) || !slices.ContainsFunc(aside, unlisted) {
		return aside
	}
	family := s.entries[claims[0].species].Family
	return slices.DeleteFunc(slices.Clone(aside), func(w string) bool { return unlisted(w) && s.isNounOf(family, w) })
}

// isNounOf reports whether a word is the noun of many kinds' names, and of one of a family: the last word of a name, or the
// first in Romance languages.
func (s *Snapshot) isNounOf(family, w string) bool {
	return slices.Contains(s.names.nouns()[w].families, family)
}

// nounUse is in how many kinds' names a noun stands, and in those of which families.
type nounUse struct {
	kinds    int
	families []string // each once
}

// indexNouns finds the nouns in the names of many kinds.
func indexNouns(entries []*Species) map[string]nounUse {
	out, last := map[string]nounUse{}, map[string]*Species{}
	for _, e := range entries {
		for _, name := range e.Names {
			noun := nounOf(name)
			if noun == "" || last[noun] == e {
				continue
			}
			last[noun] = e
			use := out[noun]
			if use.kinds++; !slices.Contains(use.families, e.Family) {
				use.families = append(use.families, e.Family)
			}
			out[noun] = use
		}
	}
	maps.DeleteFunc(out, func(_ string, use nounUse) bool { return use.kinds < leastNamed })
	return out
}

// nounOf is the noun of a vernacular name of several words in its normal form, or what stands where it does.
func nounOf(name Name) string {
	words := strings.Fields(spelling.Normal(name.Text))
	switch {
	case len(words) < 2:
		return ""
	case name.Language == "fr", name.Language == "es", name.Language == "pt":
		return words[0]
	}
	return words[len(words)-1]
}

// unlisted reports whether a word is not on the list of words that tell no kind from another; a figure tells none.
func unlisted(w string) bool {
	return labels.Tells(w) == 0 && kingdomWords[w] == 0 && strings.Trim(w, "0123456789") != ""
}

// maxLoose is the most meanings of a name that may have words beside it which are not listed.
const maxLoose = 12

// tells reports whether a name still tells what is meant with these words beside it: words of the
// list tell nothing, others may be the name of a strain where the kind is bred in strains, or one
// more word before a name that means several kinds anyway.
func (s *Snapshot) tells(claims []claim, aside []string) bool {
	switch {
	case len(claims) == 0 || !slices.ContainsFunc(aside, unlisted):
		return len(claims) > 0
	case len(claims) > 1:
		return len(claims) <= maxLoose
	}
	return s.bredInStrains(claims[0]) || s.bredForm(s.entries[claims[0].species]) >= 0
}

// bredInStrains reports whether a kind, or the species that it is a form of, is bred in strains.
func (s *Snapshot) bredInStrains(c claim) bool {
	e := s.entries[c.species]
	return slices.Contains(bredInStrains, e.ID) || e.FormOf != "" && slices.Contains(bredInStrains, e.FormOf)
}
