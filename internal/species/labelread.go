package species

import (
	"cmp"
	"slices"
	"strings"
	"unicode/utf8"
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
	n, ofFamily := 0, false
	for _, e := range s.entries {
		if slices.ContainsFunc(e.Names, func(name Name) bool { return nounOf(name) == w }) {
			n++
			ofFamily = ofFamily || e.Family == family
		}
	}
	return ofFamily && n >= leastNamed
}

// nounOf is the noun of a vernacular name of several words in its normal form, or what stands where it does.
func nounOf(name Name) string {
	words := strings.Fields(normalise(name.Text))
	switch {
	case len(words) < 2:
		return ""
	case name.Language == "fr", name.Language == "es", name.Language == "pt":
		return words[0]
	}
	return words[len(words)-1]
}

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
				if !any && !slices.ContainsFunc(run, func(w string) bool { return labelWords[w] == 0 }) {
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
	r, ok := t.turns()[inAnyOrder(run)]
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
	for n := len(run) - 1; n > 0 && labelWords[run[n]] != 0; n-- {
		if claims := t.inOrder(run[:n], inNames[:n]); len(claims) > 0 {
			return claims
		}
	}
	return nil
}

// inAnyOrder is one key for all orders of some words, with one noun for all that mean the same.
func inAnyOrder(words []string) string {
	sorted := make([]string, len(words))
	for i, w := range words {
		sorted[i] = w
		for _, class := range nounClasses {
			if slices.Contains(class, w) {
				sorted[i] = class[0]
			}
		}
	}
	slices.Sort(sorted)
	return strings.Join(sorted, " ")
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

// leastCompound is the length of the shortest first part of a German compound that stands for it.
const leastCompound = 5

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
		out[i] = isNoun[w] || t.isWord(w) || t.isCompound(w) || t.isWord(bodyPart[w]) || slices.ContainsFunc(singulars(w), t.isWord) || w != "" && w[0] >= utf8.RuneSelf && len(t.short(w)) > 0
	}
	return out
}

// isCompound reports whether a word is the first part of a German compound that is a name: Feuermaul.
func (t *nameTable) isCompound(w string) bool {
	return len(w) >= leastCompound && slices.ContainsFunc(compoundNouns, func(noun string) bool { _, ok := t.byKey[w+noun]; return ok })
}

// isNoun are the nouns that stand for one another, and what stands for an unnamed species behind a genus.
var isNoun = func() map[string]bool {
	out := map[string]bool{"sp": true, "spp": true, "species": true}
	for _, class := range slices.Concat(nounClasses, frontNouns) {
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
	if text != "" && text[0] >= utf8.RuneSelf {
		return t.shortJoined(text)
	}
	for _, start := range append([]string{text}, singulars(text)...) {
		for _, noun := range shortNouns {
			if r, ok := t.byKey[start+" "+noun]; ok && t.records[r].group < 0 {
				for _, c := range t.records[r].claims {
					claims = appendNew(claims, c)
				}
			}
		}
	}
	if len(text) >= leastCompound && !strings.Contains(text, " ") {
		for _, noun := range compoundNouns {
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
	for _, noun := range joinedNouns {
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
	for _, class := range joinedShort {
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

// bodyPart are the two ways to say which part of a fish is meant: a red-eye tetra has red eyes.
var bodyPart = func() map[string]string {
	out := map[string]string{}
	for pair := range strings.FieldsSeq(`eye/eyed fin/finned tail/tailed line/lined band/banded stripe/striped spot/spotted nose/nosed belly/bellied
		head/headed back/backed lip/lipped cheek/cheeked mouth/mouthed side/sided throat/throated bar/barred`) {
		noun, adjective, _ := strings.Cut(pair, "/")
		out[noun], out[adjective] = adjective, noun
	}
	return out
}()

// inOtherWords writes the parts of a fish in a name the other way; ok is false where it names none.
func inOtherWords(text string) (other string, ok bool) {
	words := strings.Fields(text)
	for i, w := range words {
		if o := bodyPart[w]; o != "" {
			words[i], ok = o, true
		}
	}
	return strings.Join(words, " "), ok
}

// variants are the ways to write a name whose noun has several: cory, corydoras.
func variants(text string) []string {
	out := []string{text}
	if other, ok := inOtherWords(text); ok {
		out = append(out, other)
	}
	if first, rest, ok := strings.Cut(text, " "); ok {
		for _, class := range frontNouns {
			if slices.Contains(class, first) {
				for _, noun := range class {
					if noun != first {
						out = append(out, noun+" "+rest)
					}
				}
			}
		}
	}
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
//
// A form goes before its species, and a code of the trade before all; coded says that there is one. Two kinds of a genus that
// do not agree are both meant.
func (s *Snapshot) agreeing(heads []head) (claims []claim, lost []string, coded bool) {
	if at := slices.IndexFunc(heads, func(h head) bool { return shopCode.MatchString(h.text) }); at >= 0 {
		heads = append(slices.Delete(slices.Clone(heads), at, at+1), heads[at])
		coded = true
	}
	if !coded {
		heads = slices.Clone(heads) // "swordtail pineapple" is a swordtail and no pineapple pleco
		slices.SortStableFunc(heads, func(a, b head) int { return cmp.Compare(rankOf(a), rankOf(b)) })
	}
	last := heads[len(heads)-1]
	claims = last.claims
	for _, h := range slices.Backward(heads[:len(heads)-1]) {
		if both := common(h.claims, claims); len(both) > 0 {
			claims = both
			continue
		}
		if s.speciesOf(claims, h.claims) {
			continue
		}
		if s.speciesOf(h.claims, claims) {
			claims = h.claims
			continue
		}
		if !coded && len(h.claims) == 1 && s.sameGenus(h.claims[0], claims) {
			if len(claims) == 1 && claims[0].scientific() {
				claims = appendNew(claims, h.claims[0]) // two names that do not agree
				continue
			}
			if len(claims) > 1 || rarity(s.entries[claims[0].species]) <= rarity(s.entries[h.claims[0].species]) {
				claims = h.claims // an altum angel is no angel of another kind, in whatever order the two stand
			}
			continue
		}
		if !coded && (h.isBinomial() || last.isBinomial()) {
			claims = s.preciseOr(claims, h, last)
			continue
		}
		lost = append(lost, h.text)
	}
	return claims, lost, coded
}

// isBinomial reports whether the words are genus and epithet of one kind.
func (h *head) isBinomial() bool {
	return len(h.claims) == 1 && h.claims[0].scientific() && strings.Contains(h.text, " ")
}

// preciseOr is what a name of science means beside a vernacular name for other kinds: the kind of the former where they are of
// its family, whose vernacular names are taken loosely, or where that is no whole name; else either.
func (s *Snapshot) preciseOr(claims []claim, a, b head) []claim {
	precise, loose := a, b
	if !precise.isBinomial() {
		precise, loose = b, a
	}
	family := s.entries[precise.claims[0].species].Family
	if loose.short || slices.ContainsFunc(loose.claims, func(c claim) bool { return s.entries[c.species].Family == family }) {
		return precise.claims
	}
	claims = slices.Clone(claims)
	for _, c := range slices.Concat(a.claims, b.claims) {
		claims = appendNew(claims, c)
	}
	return claims
}

// rarity is how seldom a kind is for sale, 0 where every shop has it.
func rarity(e *Species) int {
	return slices.Index([]Availability{EveryShop, ManyShops, Specialist, RareSeller}, e.Available)
}

// codedFamily is the family that a code of the trade in a label stands for, known or not: L and LDA for the plecos, C and CW
// for the corys.
func codedFamily(words []string) string {
	for _, w := range words {
		switch code := shopCode.FindStringSubmatch(w); {
		case code == nil:
		case strings.HasPrefix(code[1], "l"):
			return "Loricariidae"
		default:
			return "Callichthyidae"
		}
	}
	return ""
}

// ofFamily keeps the heads that may mean a kind of a family; the others stand beside.
func (s *Snapshot) ofFamily(heads []head, family string, aside []string) (kept []head, rest []string) {
	for _, h := range heads {
		h.claims = slices.DeleteFunc(slices.Clone(h.claims), func(c claim) bool { return s.entries[c.species].Family != family })
		if len(h.claims) == 0 {
			aside = append(aside, h.text)
			continue
		}
		kept = append(kept, h)
	}
	return kept, aside
}

// rankOf puts names without their noun in front of whole ones.
func rankOf(h head) int {
	if h.short {
		return 0
	}
	return 1
}

// speciesOf reports whether a name may mean the species that another means a form of.
func (s *Snapshot) speciesOf(forms, species []claim) bool {
	return len(forms) == 1 && slices.ContainsFunc(species, func(c claim) bool {
		return s.entries[forms[0].species].FormOf == s.entries[c.species].ID
	})
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

// bred keeps, of several kinds of one genus of fishes, or of kinds whose genus stands as one letter, with a word for colour
// or strain beside their name, the one that is bred in strains: a gold ancistrus. Its forms are told by words of their own.
func (s *Snapshot) bred(claims []claim, aside []string) []claim {
	if len(claims) < 2 || !s.sameGenus(claims[0], claims) && !oneEpithet(claims) || !slices.ContainsFunc(aside, strain) {
		return claims
	}
	var out []claim
	for _, c := range claims {
		if e := s.entries[c.species]; slices.Contains(bredInStrains, e.ID) && !e.BodyForm.Invertebrate() {
			out = append(out, c)
		}
	}
	if len(out) != 1 {
		return claims
	}
	return out
}

// oneEpithet reports whether all claims are to names of science with one epithet: P. reticulata is a guppy, or a ray.
func oneEpithet(claims []claim) bool {
	_, epithet, _ := strings.Cut(claims[0].shown, " ")
	return !slices.ContainsFunc(claims, func(c claim) bool {
		_, e, _ := strings.Cut(c.shown, " ")
		return !c.scientific() || e != epithet
	})
}

// unlisted reports whether a word is not on the list of words that tell no kind from another; a figure tells none.
func unlisted(w string) bool {
	return labelWords[w] == 0 && kingdomWords[w] == 0 && strings.Trim(w, "0123456789") != ""
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
