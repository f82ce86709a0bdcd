package species

import (
	"slices"
	"strings"
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
// labelwords.go. A name that several kinds carry gives all of them, and so do several names with a
// bar between them, as in "guppy | platy".
//
// The words of a name may stand in another order ("cory bronze", "tetra, neon"), joined or apart; what may as well be another
// kind with a colour behind its name means both. A code of the trade such as L46 goes before all other words.
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
	if claims := s.names.named(label, normalise(label)); len(claims) > 0 {
		s.mean(&out, claims)
		return out, true, nil
	}
	written := squash(out.readFigures(fold(label)))
	words := s.names.splitJoined(s.apartFromStrain(scriptsApart(strings.Fields(written))))
	if len(words) == 0 {
		return out, false, badName(label, "it has no name in it")
	}
	if out.Other = s.names.otherThan(words); out.Other != nil {
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
	claims, aside := s.read(words)
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
		switch labelWords[w] {
		case wordMale:
			male = true
		case wordFemale:
			female = true
		case wordNoun:
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
