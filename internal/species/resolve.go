package species

import (
	"slices"
	"strings"

	"commensal/internal/species/labels"
	"commensal/internal/species/spelling"
)

// Match is a name resolved to one entry.
type Match struct {
	Species *Species
	Index   int // the position of the entry in the snapshot
	Kind    MatchKind
	Input   string // the name as given
	Matched string // the name as catalogued
}

// Resolve finds the one entry a name means. It accepts the id, the scientific name
// (also with the author and year behind it, or with the genus abbreviated),
// synonyms, and vernacular names in any language, in the singular or the English
// plural; case, diacritics, apostrophes, hyphens and spacing do not matter.
//
// Nothing is guessed. A trade word, a genus, or a name that several entries carry
// gives an [*AmbiguousNameError]; a name that nobody carries gives an
// [*UnknownNameError] with the nearest ones, or with what it is where it is known to be no fish; text that cannot be a name gives a
// [*BadNameError].
func (s *Snapshot) Resolve(name string) (Match, error) {
	if i, ok := s.index[ID(name)]; ok {
		return s.match(name, claim{int32(i), MatchID, string(s.entries[i].ID)}), nil
	}
	if c, ok := s.only(name); ok {
		return s.match(name, c), nil
	}
	if err := checkName(name); err != nil {
		return Match{}, err
	}
	key := spelling.Normal(name)
	if key == "" {
		return Match{}, badName(name, "it has no letter or digit")
	}
	claims, ambiguous := s.names.lookup(name, key)
	switch {
	case len(claims) == 0:
		if other := s.noFish(name); other != nil {
			return Match{}, &UnknownNameError{Name: name, Other: other}
		}
		return Match{}, &UnknownNameError{Name: name, Near: s.Search(name, maxNear)}
	case ambiguous || len(claims) > 1:
		return Match{}, &AmbiguousNameError{Name: name, Candidates: s.candidates(claims)}
	}
	return s.match(name, claims[0]), nil
}

// noFish is what a name means that is known to be no fish: all of it, but for words that tell no kind from another.
func (s *Snapshot) noFish(name string) *OtherGood {
	label, _, err := s.Recognise(name)
	if err != nil || label.Other == nil || label.Other.Misspelt {
		return label.Other
	}
	folded, _, _ := labels.Figures(spelling.Fold(name))
	written := spelling.Squash(folded)
	rest := strings.Replace(" "+written+" ", " "+label.Other.Word+" ", " ", 1)
	if written != label.Other.Word && slices.ContainsFunc(strings.Fields(rest), unlisted) {
		return nil
	}
	return label.Other
}

// only is the fast path: an ASCII name that is exactly one entry's. It allocates
// nothing.
func (s *Snapshot) only(name string) (claim, bool) {
	if len(name) > MaxName {
		return claim{}, false
	}
	for i := range len(name) {
		if name[i] < ' ' || name[i] == 0x7f {
			return claim{}, false
		}
	}
	var buf [MaxName]byte
	key, ascii := spelling.NormalASCII(buf[:0], name)
	if !ascii {
		return claim{}, false
	}
	r, ok := s.names.byKey[string(key)]
	if !ok || s.names.records[r].group >= 0 || len(s.names.records[r].claims) != 1 {
		return claim{}, false
	}
	return s.names.records[r].claims[0], true
}

func (s *Snapshot) match(name string, c claim) Match {
	return Match{
		Species: s.entries[c.species], Index: int(c.species),
		Kind: c.kind, Input: name, Matched: c.shown,
	}
}

func (s *Snapshot) candidates(claims []claim) []Candidate {
	out := make([]Candidate, len(claims))
	for i, c := range claims {
		out[i] = s.candidate(c.species, c.shown, 1)
	}
	return out
}

// lookup finds the claims to a name, exactly or by the rules for genera, authors,
// abbreviations and plurals, in that order. Ambiguous is set when the name may not
// resolve even to a single claim.
func (t *nameTable) lookup(name, key string) (claims []claim, ambiguous bool) {
	if claims, ambiguous = t.exact(key); len(claims) > 0 {
		return claims, ambiguous
	}
	if claims = t.genus(withoutSpecies(key)); len(claims) > 0 {
		return claims, true
	}
	folded := strings.TrimSpace(spelling.Fold(name))
	if claims = t.scientific(folded); len(claims) > 0 {
		return claims, false
	}
	if claims = t.authored(folded); len(claims) > 0 {
		return claims, false
	}
	return t.plural(key)
}

// exact finds the claims to a normal form; a trade word for several kinds is ambiguous.
func (t *nameTable) exact(key string) (claims []claim, ambiguous bool) {
	r, ok := t.byKey[key]
	if !ok {
		return nil, false
	}
	if g := t.records[r].group; g >= 0 {
		return t.groups[g].claims(), len(t.groups[g].species) > 1
	}
	return t.records[r].claims, false
}

// genus lists what a genus may mean: in the declared order where it is a trade word
// too, else all entries that belong to it or once did.
func (t *nameTable) genus(key string) []claim {
	if claims, isGroup := t.exact(key); isGroup {
		return claims
	}
	return t.genera[key]
}

// withoutSpecies strips the "sp", "spp" or "species" that stands for an unnamed
// species behind a genus.
func withoutSpecies(key string) string {
	genus, rest, _ := strings.Cut(key, " ")
	switch rest {
	case "sp", "spp", "species":
		return genus
	}
	return key
}
