package species

import (
	"slices"
	"strings"
)

// read finds what the words of a label mean, and the words that stand beside the name.
func (s *Snapshot) read(words []string) (claims []claim, aside []string) {
	if len(words) > maxLabelWords {
		return nil, nil
	}
	inNames := s.names.inNames(words)
	heads, aside := s.names.heads(words, inNames, 0, false)
	if len(heads) == 0 { // a word for colour or strain may be a name as well
		heads, aside = s.names.heads(words, inNames, 0, true)
	}
	if len(heads) == 0 {
		return nil, nil
	}
	claims, lost := s.agreeing(heads)
	aside = append(aside, lost...)
	claims = s.within(claims, kingdomOf(words))
	if !s.tells(claims, aside) {
		return nil, nil
	}
	return s.withForm(claims, aside)
}

// head is a run of words of a label that is a name by itself.
type head struct {
	at     int // the place of its first word in the label
	text   string
	claims []claim
}

// heads cuts words into names, the longest first, and what stands between them, in order. inNames says of each word
// whether it is in any name.
func (t *nameTable) heads(words []string, inNames []bool, from int, any bool) (heads []head, aside []string) {
	if len(words) == 0 {
		return nil, nil
	}
	for n := len(words); n > 0; n-- {
		for at := len(words) - n; at >= 0; at-- {
			if !mayBeName(words[at:at+n], inNames[at:at+n]) {
				continue
			}
			text := strings.Join(words[at:at+n], " ")
			if n == 1 && !any && labelWords[text] != 0 {
				continue // a word like "silver" beside a name is no name
			}
			claims := t.head(text)
			if len(claims) == 0 {
				continue
			}
			before, asideBefore := t.heads(words[:at], inNames[:at], from, any)
			after, asideAfter := t.heads(words[at+n:], inNames[at+n:], from+at+n, any)
			heads = append(append(before, head{from + at, text, claims}), after...)
			return heads, append(asideBefore, asideAfter...)
		}
	}
	return nil, words
}

// mayBeName reports whether a run of words can be a name at all, which most runs of most labels cannot: each word is in some
// name, or a letter for a genus, or an author stands behind it with a year.
func mayBeName(words []string, inNames []bool) bool {
	if last := words[len(words)-1]; isYear(last) {
		return true
	}
	for i, w := range words {
		if !inNames[i] && len(w) > 1 {
			return false
		}
	}
	return true
}

func isYear(w string) bool {
	return len(w) == 4 && strings.Trim(w, "0123456789") == ""
}

// inNames says of each word whether [nameTable.head] can make anything of it: it, or its singular, is a word of a name, or
// it is a noun of the trade or stands for an unnamed species of a genus.
func (t *nameTable) inNames(words []string) []bool {
	out := make([]bool, len(words))
	for i, w := range words {
		out[i] = isNoun[w] || t.isWord(w) || slices.ContainsFunc(singulars(w), t.isWord)
	}
	return out
}

// isNoun are the nouns that stand for one another, and what stands for an unnamed species behind a genus.
var isNoun = func() map[string]bool {
	out := map[string]bool{"sp": true, "spp": true, "species": true}
	for _, class := range nounClasses {
		for _, noun := range class {
			for w := range strings.FieldsSeq(noun) {
				out[w] = true
			}
		}
	}
	return out
}()

// isWord reports whether a word stands in some name.
func (t *nameTable) isWord(w string) bool {
	starts := t.starts()
	i, _ := slices.BinarySearchFunc(starts, w, func(s wordStart, w string) int {
		return strings.Compare(t.records[s.record].key[s.at:], w)
	})
	if i == len(starts) {
		return false
	}
	rest, ok := strings.CutPrefix(t.records[starts[i].record].key[starts[i].at:], w)
	return ok && (rest == "" || rest[0] == ' ')
}

// head finds what a run of words means by itself: a name, its plural, a genus, an epithet, or a
// name without its noun as in "congos".
func (t *nameTable) head(text string) []claim {
	for _, key := range variants(text) {
		if claims := t.named(key, key); len(claims) > 0 {
			return claims
		}
	}
	if strings.Contains(text, " ") {
		return t.short(text)
	}
	if claims := t.epithets(text); len(claims) > 0 {
		return claims
	}
	return t.short(text)
}

// leastEpithet is the length of the shortest epithet that stands for a name.
const leastEpithet = 5

// epithets finds the kinds whose scientific name ends in a word, as in "sterbai".
func (t *nameTable) epithets(word string) (claims []claim) {
	if len(word) < leastEpithet {
		return nil
	}
	for _, full := range t.epithet[word] {
		claims = keepScientific(claims, t.records[full.record].claims)
	}
	slices.SortFunc(claims, func(a, b claim) int { return int(a.species - b.species) })
	return claims
}

// short finds the names that are these words, or their singular, and a noun of the trade: "congos"
// for Congo tetra.
func (t *nameTable) short(text string) (claims []claim) {
	for _, start := range append([]string{text}, singulars(text)...) {
		for _, noun := range shortNouns {
			if r, ok := t.byKey[start+" "+noun]; ok && t.records[r].group < 0 {
				for _, c := range t.records[r].claims {
					claims = appendNew(claims, c)
				}
			}
		}
	}
	return claims
}

// variants are the ways to write a name whose noun has several: cory, corydoras.
func variants(text string) []string {
	out := []string{text}
	at := strings.LastIndexByte(text, ' ') + 1
	for _, class := range nounClasses {
		if slices.Contains(class, text[at:]) {
			for _, noun := range class {
				if noun != text[at:] {
					out = append(out, text[:at]+noun)
				}
			}
		}
	}
	return out
}

// agreeing is what all names of a label mean: "multifasciatus shell dweller" is the one kind that
// is both. Where none is, the last name is the noun and the others are words beside it.
func (s *Snapshot) agreeing(heads []head) (claims []claim, lost []string) {
	last := heads[len(heads)-1]
	claims = last.claims
	for _, h := range slices.Backward(heads[:len(heads)-1]) {
		if both := common(h.claims, claims); len(both) > 0 {
			claims = both
			continue
		}
		if len(h.claims) == 1 && s.sameGenus(h.claims[0], claims) {
			claims = h.claims // an altum angel is no angel of another kind
			continue
		}
		lost = append(lost, h.text)
	}
	return claims, lost
}

// sameGenus reports whether a kind is of one genus with all of some others.
func (s *Snapshot) sameGenus(c claim, others []claim) bool {
	return !slices.ContainsFunc(others, func(o claim) bool {
		return s.entries[o.species].Genus() != s.entries[c.species].Genus()
	})
}

// within keeps the claims of one kingdom, where the label names one and it has any.
func (s *Snapshot) within(claims []claim, k kingdom) (out []claim) {
	for _, c := range claims {
		if k.holds(s.entries[c.species].BodyForm) {
			out = append(out, c)
		}
	}
	return out
}

// common are the claims of those kinds that have a claim in both.
func common(a, b []claim) (out []claim) {
	for _, c := range a {
		if claimed(b, c.species) {
			out = append(out, c)
		}
	}
	return out
}

// unlisted reports whether a word is not on the list of words that tell no kind from another.
func unlisted(w string) bool { return labelWords[w] == 0 && kingdomWords[w] == 0 }

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
	return slices.Contains(bredInStrains, s.entries[claims[0].species].ID)
}
