package species

import (
	"slices"
	"strings"
	"unicode/utf8"

	"commensal/internal/species/labels"
	"commensal/internal/species/spelling"
)

// head is a run of words of a label that is a name by itself.
type head struct {
	at     int // the place of its first word in the label
	text   string
	claims []claim
	short  bool // a name without its noun
}

// loose reports whether all names of a label are such without their noun, which a word that is not understood may be.
func loose(heads []head) bool {
	return !slices.ContainsFunc(heads, func(h head) bool { return !h.short })
}

// heads cuts words into names, the longest first, and what stands between them, in order. inNames says of each word
// whether it is in any name.
func (t *nameTable) heads(words []string, inNames []bool, from int, any bool) (heads []head, aside []string) {
	if len(words) == 0 {
		return nil, nil
	}
	for n := len(words); n > 0; n-- {
		for _, way := range [...]func([]string, []bool) []claim{t.inOrder, t.turned, t.unspaced} {
			for at := len(words) - n; at >= 0; at-- {
				run := words[at : at+n]
				if !any && !slices.ContainsFunc(run, func(w string) bool { return labels.Tells(w) == 0 }) {
					continue // a word like "silver" beside a name is no name, nor is "neon blue"
				}
				claims := way(run, inNames[at:at+n])
				if len(claims) == 0 {
					continue
				}
				before, asideBefore := t.heads(words[:at], inNames[:at], from, false)
				after, asideAfter := t.heads(words[at+n:], inNames[at+n:], from+at+n, false)
				text := strings.Join(run, " ")
				heads = append(append(before, head{from + at, text, claims, t.isShort(text)}), after...)
				return heads, append(asideBefore, asideAfter...)
			}
		}
	}
	return nil, slices.Clip(words) // what is appended to it must not run over the words behind
}

// inOrder is what a run of words means as it stands.
func (t *nameTable) inOrder(run []string, inNames []bool) []claim {
	if !mayBeName(run, inNames) {
		return nil
	}
	return t.head(strings.Join(run, " "))
}

// turned is the one kind whose name has the words of a run in another order: "cory bronze", "tiger barb, green".
func (t *nameTable) turned(run []string, inNames []bool) []claim {
	if len(run) < 2 || !mayBeName(run, inNames) {
		return nil
	}
	r, ok := t.turns()[labels.InAnyOrder(run)]
	if !ok || r < 0 {
		return nil
	}
	claims := t.records[r].claims
	if other := t.beforeColour(run, inNames); len(other) == 1 && !t.sameOrForm(claims[0].species, other[0].species) {
		return []claim{claims[0], other[0]} // "neon tetra black" may be a black neon, or black by mistake
	}
	return claims
}

// sameOrForm reports whether a kind is another or a form of it.
func (t *nameTable) sameOrForm(kind, other int32) bool {
	parent, isForm := t.parents[kind]
	return kind == other || isForm && parent == other
}

// beforeColour is what the first words of a run mean where the others are words of labels, such as colours.
func (t *nameTable) beforeColour(run []string, inNames []bool) []claim {
	for n := len(run) - 1; n > 0 && labels.Tells(run[n]) != 0; n-- {
		if claims := t.inOrder(run[:n], inNames[:n]); len(claims) > 0 {
			return claims
		}
	}
	return nil
}

// leastUnspaced is the length in bytes of the shortest name that is known without its spaces.
const leastUnspaced = 8

// unspaced is the one kind whose name has the letters of a run of words, with its spaces elsewhere: "bushy nose catfish".
func (t *nameTable) unspaced(run []string, _ []bool) []claim {
	key := strings.Join(run, "")
	if len(key) < leastUnspaced {
		return nil
	}
	if r, ok := t.compact()[key]; ok && r >= 0 {
		return t.records[r].claims
	}
	return nil
}

// isShort reports whether a run of words is known only as a name without its noun.
func (t *nameTable) isShort(text string) bool {
	return len(t.named(text, text)) == 0 && len(t.epithets(text)) == 0 && len(t.short(text)) > 0
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
		out[i] = labels.IsNoun(w) || t.isWord(w) || t.isCompound(w) || t.isWord(labels.OtherPart(w)) || slices.ContainsFunc(spelling.Singulars(w), t.isWord) || w != "" && w[0] >= utf8.RuneSelf && len(t.short(w)) > 0
	}
	return out
}

// isCompound reports whether a word is the first part of a German compound that is a name: Feuermaul.
func (t *nameTable) isCompound(w string) bool {
	return len(w) >= labels.LeastCompound && slices.ContainsFunc(labels.CompoundNouns, func(noun string) bool { _, ok := t.byKey[w+noun]; return ok })
}

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
	for _, key := range labels.Variants(text) {
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
	if text != "" && text[0] >= utf8.RuneSelf {
		return t.shortJoined(text)
	}
	for _, start := range append([]string{text}, spelling.Singulars(text)...) {
		for _, noun := range labels.ShortNouns {
			if r, ok := t.byKey[start+" "+noun]; ok && t.records[r].group < 0 {
				for _, c := range t.records[r].claims {
					claims = appendNew(claims, c)
				}
			}
		}
	}
	if len(text) >= labels.LeastCompound && !strings.Contains(text, " ") {
		for _, noun := range labels.CompoundNouns {
			if r, ok := t.byKey[text+noun]; ok && t.records[r].group < 0 {
				for _, c := range t.records[r].claims {
					claims = appendNew(claims, c)
				}
			}
		}
	}
	return claims
}

// shortJoined is [nameTable.short] in scripts without spaces, where a noun may be added as well: グリーンネオン for グリーンネオンテトラ,
// 宝莲灯鱼 for 宝莲灯.
func (t *nameTable) shortJoined(text string) (claims []claim) {
	for _, noun := range labels.JoinedNouns {
		keys := []string{text + noun}
		if bare, ok := strings.CutSuffix(text, noun); ok && utf8.RuneCountInString(bare) > 1 {
			keys = append(keys, bare)
		}
		for _, key := range keys {
			if r, ok := t.byKey[key]; ok && t.records[r].group < 0 {
				for _, c := range t.records[r].claims {
					claims = appendNew(claims, c)
				}
			}
		}
	}
	for _, class := range labels.JoinedShort {
		for _, ways := range [2][2]string{{class[0], class[1]}, {class[1], class[0]}} {
			if bare, ok := strings.CutSuffix(text, ways[0]); ok && bare != "" {
				if r, ok := t.byKey[bare+ways[1]]; ok && t.records[r].group < 0 {
					claims = append(claims, t.records[r].claims...)
				}
			}
		}
	}
	return claims
}
