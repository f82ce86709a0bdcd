package species

import (
	"regexp"
	"slices"
	"strings"

	"commensal/internal/species/labels"
	"commensal/internal/species/spelling"
)

// Label is what a label of the trade says of an animal: which kinds it may mean, and what stands
// beside the name.
type Label struct {
	Input string
	// Meanings are the kinds that the name may mean, the likeliest first, at most MaxMeanings; a
	// clear name has one. Broader is how many more the name may mean.
	Meanings []Match
	Broader  int
	Other    *OtherGood // set where the label names something that is no fish; no meanings then
	Sex      Sex        // as the label says, else Unsexed
	LengthCM float64    // as the label says, the middle of a range; 0 where it does not
	Count    int        // as in "6x neon tetra"; 0 where the label does not say
	SetAside []string   // words of the label that tell no kind from another, such as colours
}

// MaxMeanings is how many meanings of one name are considered, the likeliest: what is sold under
// a bare word is one of the usual kinds.
const MaxMeanings = 6

// maxLabelWords is how many words a label may have; longer text is no label.
const maxLabelWords = 12

// ReadLabel reads a label as typed at a till: a name as [Snapshot.Resolve] takes it, with words
// for colour, strain, origin, sex and size before or behind it in any of the languages of
// package labels. A name that several kinds carry gives all of them, and so do several names with a
// bar between them, as in "guppy | platy".
//
// The words of a name may stand in another order ("cory bronze", "tetra, neon"), joined or apart; what may as well be another
// kind with a colour behind its name means both. A code of the trade such as L46 goes before all other words.
//
// A label in parts, as in "Cherry barb (Puntius titteya)" or "Feuermaul / Thorichthys meeki", is the kind that its parts have in
// common, or each where they do not agree. Words beside genus and epithet are a place or a strain.
//
// No word is passed over silently: what tells no kind from another is in SetAside. Where a word
// that is not on the list could make it another kind, the label is unknown. Errors are
// [*UnknownNameError] and [*BadNameError].
func (s *Snapshot) ReadLabel(label string) (Label, error) {
	out, known, err := s.Recognise(label)
	if err == nil && !known {
		err = &UnknownNameError{Name: label, Near: s.Search(label, maxLabelNear)}
	}
	return out, err
}

// Recognise is [Snapshot.ReadLabel] without looking for names that are near one that is not known, which is
// most of the work for such a name. Its errors are [*BadNameError].
func (s *Snapshot) Recognise(label string) (l Label, known bool, err error) {
	if err := checkName(label); err != nil {
		return Label{Input: label}, false, err
	}
	if strings.Contains(label, "|") {
		return s.recogniseEach(label)
	}
	return s.recognise(label)
}

func (s *Snapshot) recognise(label string) (out Label, known bool, err error) {
	out.Input = label
	if claims := s.names.named(label, spelling.Normal(label)); len(claims) > 0 {
		s.mean(&out, claims)
		return out, true, nil
	}
	folded, length, count := labels.Figures(spelling.Fold(label))
	out.LengthCM, out.Count = length, count
	folded = s.names.spellGenera(folded)
	written := spelling.Squash(folded)
	words := s.labelled(written)
	if len(words) == 0 {
		return out, false, badName(label, "it has no name in it")
	}
	if out.Other = s.names.otherThan(words); out.Other != nil && s.colourOfTheSea(words, out.Other) {
		out.Other = nil
	}
	if out.Other != nil {
		if out.Other.Animal != nil && strings.Count(out.Other.Word, " ")+1 < len(words) { // "dwraf frog" is more than a frog
			if longer := s.names.misspelt(words); longer != nil {
				out.Other = longer
			}
		}
		return out, true, nil
	}
	if g, ok := goodOf(written); ok && g.animal != nil && strings.Join(words, " ") != written { // a name that was taken apart
		out.Other = &OtherGood{Kind: g.kind, Word: written, Animal: g.animal}
		return out, true, nil
	}
	parts := labelParts(folded)
	if out.Other = s.names.goodsFirst(parts); out.Other != nil {
		return out, true, nil
	}
	claims, aside := s.read(words, s.names.wrongEpithets(folded))
	if len(parts) > 1 {
		if apart, rest := s.readParts(parts, len(claims) == 1); len(apart) > 0 {
			claims, aside = apart, rest
		}
	}
	if rest, places := withoutPlaces(words); len(claims) == 0 && len(places) > 0 {
		claims, aside = s.read(rest, nil)
		aside = append(aside, places...)
	}
	if len(claims) != 1 && (len(claims) == 0 || slices.ContainsFunc(aside, unlisted)) {
		if out.Other = s.names.misspelt(words); out.Other != nil {
			return out, true, nil
		}
	}
	if len(claims) == 0 {
		if out.Other, _ = otherGood(words); out.Other != nil && kingdomOf(words) == anyKingdom {
			return out, true, nil
		}
		out.Other = nil
		return out, false, nil
	}
	out.readWords(aside)
	s.mean(&out, claims)
	return out, true, nil
}

// withoutPlaces takes the names of rivers and lakes out of the words of a label: "Rio Nhamunda".
func withoutPlaces(words []string) (rest, places []string) {
	for i, w := range words {
		if waters[w] && i+1 < len(words) || i > 0 && waters[words[i-1]] {
			places = append(places, w)
		} else {
			rest = append(rest, w)
		}
	}
	return rest, places
}

// waters are words in front of the name of a river or a lake.
var waters = map[string]bool{"rio": true, "river": true, "lake": true, "lago": true, "lac": true, "igarape": true}

// colourOfTheSea reports whether a word for an animal of the sea behind the name of one kind that is bred in strains tells a
// strain of it: a coral platy.
func (s *Snapshot) colourOfTheSea(words []string, other *OtherGood) bool {
	before := words[:max(0, len(words)-len(strings.Fields(other.Word)))]
	if other.Kind != GoodMarine || len(before) == 0 {
		return false
	}
	claims := s.names.head(strings.Join(before, " "))
	return len(claims) == 1 && s.bredInStrains(claims[0])
}

// labelled are the words of a label in the form in which names are looked up.
func (s *Snapshot) labelled(written string) []string {
	return s.names.splitJoined(s.apartFromStrain(labels.ScriptsApart(strings.Fields(written))))
}

// labelPart is a part of a label that may be a name by itself.
type labelPart struct {
	text   string // folded
	quoted bool
}

// labelParts are the parts of a folded label that may each be a name of the same kind, as in "Cherry barb (Puntius titteya)",
// "Feuermaul / Thorichthys meeki" and "Pseudotropheus acei 'Luwala'".
func labelParts(folded string) (parts []labelPart) {
	add := func(text string, quoted bool) {
		if spelling.Squash(text) != "" {
			parts = append(parts, labelPart{text, quoted})
		}
	}
	plain := func(text string) {
		for _, part := range partBorder.Split(text, -1) {
			add(part, false)
		}
	}
	from := 0
	for _, at := range inQuotes.FindAllStringIndex(folded, -1) {
		plain(folded[from:at[0]])
		add(folded[at[0]:at[1]], true)
		from = at[1]
	}
	plain(folded[from:])
	return parts
}

var (
	partBorder = regexp.MustCompile(`[()\[\]{}/;:,（）、／]|\s[-–—=]+\s`)
	inQuotes   = regexp.MustCompile(`"[^"]+"|“[^”]+”|„[^“”]+[“”]|«[^»]+»|(?:^|\s)'[^']+'`)
)

// readParts is what the parts of a label mean together: what those mean that are names have in common, or each where
// they do not agree. The others stand beside, and so does what is in quotes or has only words of labels in it, where anything
// else is a name. Where the label is clear as a whole (clear), only parts that are different kinds, each by a whole name, count.
func (s *Snapshot) readParts(parts []labelPart, clear bool) (claims []claim, aside []string) {
	for _, weak := range [...]bool{false, true} {
		for _, part := range parts {
			words := s.labelled(spelling.Squash(part.text))
			if weak != (part.quoted || !slices.ContainsFunc(words, unlisted)) {
				continue
			}
			found, beside := s.read(words, s.names.wrongEpithets(part.text))
			if len(claims) > 0 && !weak && s.names.isLoose(words) {
				found = s.ofGenusOf(found, claims) // "Cory julii (trilineatus)" is that, "red phantom (rubra)" no Betta
				if len(found) > 0 && len(common(claims, found)) == 0 {
					claims = found
					continue
				}
			}
			if len(found) == 0 || len(claims) > 0 && weak {
				aside = append(aside, words...)
				continue
			}
			aside = append(aside, beside...)
			if clear && len(found) > 1 {
				return nil, nil
			}
			claims = s.agree(claims, found)
		}
	}
	if clear && len(claims) < 2 {
		return nil, nil
	}
	return s.withForm(claims, aside)
}

// ofGenusOf are the claims to kinds of a genus that others are of.
func (s *Snapshot) ofGenusOf(claims, others []claim) (out []claim) {
	for _, c := range claims {
		if slices.ContainsFunc(others, func(o claim) bool { return s.entries[o.species].Genus() == s.entries[c.species].Genus() }) {
			out = append(out, c)
		}
	}
	return out
}

// isLoose reports whether words are no more than an epithet, or a name without its noun.
func (t *nameTable) isLoose(words []string) bool {
	heads, _ := t.heads(words, t.inNames(words), 0, false)
	return !slices.ContainsFunc(heads, func(h head) bool { return !h.short && len(t.named(h.text, h.text)) > 0 })
}

// agree is what two names for one animal mean: the form, of a species and a form of it; what both may mean; and
// either, where that is nothing.
func (s *Snapshot) agree(a, b []claim) []claim {
	switch both := common(a, b); {
	case len(a) == 0, len(both) == 0 && s.speciesOf(b, a):
		return b
	case len(both) == 0 && s.speciesOf(a, b):
		return a
	case len(both) > 0:
		return both
	}
	for _, c := range b {
		a = appendNew(slices.Clone(a), c)
	}
	return a
}

// spellGenera writes out the genera of a folded label that stand as some letters with a full stop before an epithet, where one
// kind fits: "Ps. demasoni". What stands for an open name between genus and epithet goes: "Sewellia cf. lineolata".
func (t *nameTable) spellGenera(folded string) string {
	folded = openName.ReplaceAllStringFunc(folded, func(whole string) string {
		m := openName.FindStringSubmatch(whole)
		if name := m[1] + " " + m[2]; len(t.scientific(name)) > 0 {
			return name
		}
		return whole
	})
	return initialled.ReplaceAllStringFunc(folded, func(whole string) string {
		if claims := t.scientific(whole); len(claims) == 1 {
			return spelling.Fold(claims[0].shown)
		}
		return whole
	})
}

// wrongEpithets are the words of a folded label that letters for another genus stand in front of: "L. lacustris" is none
// of the kinds called lacustris.
func (t *nameTable) wrongEpithets(folded string) (words []string) {
	for _, m := range initialled.FindAllStringSubmatch(folded, -1) {
		genera := t.epithet[m[2]]
		if len(genera) > 0 && !slices.ContainsFunc(genera, func(g genusAndKey) bool { return strings.HasPrefix(g.genus, m[1]) }) {
			words = append(words, m[2])
		}
	}
	return words
}

var (
	initialled = regexp.MustCompile(`\b([a-z]{1,4})\.\s*([a-z]{3,})`)
	openName   = regexp.MustCompile(`\b([a-z]{3,})\s+(?:sp|cf|aff|spp|ssp)\b\.?\s*([a-z]{3,})`)
)

// recogniseEach recognises names with bars between them: whatever any of them may mean. Sex, length and count
// are those that the first of them says.
func (s *Snapshot) recogniseEach(label string) (out Label, known bool, err error) {
	out.Input = label
	for part := range strings.SplitSeq(label, "|") {
		one, known, err := s.recognise(strings.TrimSpace(part))
		if err != nil || !known || one.Other != nil {
			return Label{Input: label}, false, err
		}
		if out.Meanings == nil {
			out.Sex, out.LengthCM, out.Count = one.Sex, one.LengthCM, one.Count
		}
		out.Broader += one.Broader
		for _, m := range one.Meanings {
			out.addMeaning(m)
		}
		out.SetAside = append(out.SetAside, one.SetAside...)
	}
	return out, true, nil
}

// addMeaning adds a kind that the name may mean, unless it is there already.
func (l *Label) addMeaning(m Match) {
	switch {
	case slices.ContainsFunc(l.Meanings, func(o Match) bool { return o.Index == m.Index }):
	case len(l.Meanings) == MaxMeanings:
		l.Broader++
	default:
		m.Input = l.Input
		l.Meanings = append(l.Meanings, m)
	}
}

// mean notes the meanings.
func (s *Snapshot) mean(l *Label, claims []claim) {
	n := min(len(claims), MaxMeanings)
	l.Broader = len(claims) - n
	for _, c := range claims[:n] {
		l.Meanings = append(l.Meanings, s.match(l.Input, c))
	}
}

// Clear reports whether the label means one kind.
func (l *Label) Clear() bool { return len(l.Meanings) == 1 }

// readWords takes sex out of the words beside the name; male and female together say nothing.
func (l *Label) readWords(aside []string) {
	male, female := false, false
	for _, w := range aside {
		switch labels.Tells(w) {
		case labels.Male:
			male = true
		case labels.Female:
			female = true
		case labels.Noun:
			continue
		}
		if !slices.Contains(l.SetAside, w) {
			l.SetAside = append(l.SetAside, w)
		}
	}
	switch {
	case male && !female:
		l.Sex = Male
	case female && !male:
		l.Sex = Female
	}
}

// named finds what a whole name means, in any of the ways of [Snapshot.Resolve].
func (t *nameTable) named(name, key string) []claim {
	if key == "" {
		return nil
	}
	claims, _ := t.lookup(name, key)
	return claims
}
