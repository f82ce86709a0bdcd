package species

import (
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"commensal/internal/species/labels"
	"commensal/internal/species/spelling"
)

// MatchKind says by which kind of name an entry was found.
type MatchKind string

// The kinds of names.
const (
	MatchID             MatchKind = "id"
	MatchScientificName MatchKind = "scientific_name"
	MatchSynonym        MatchKind = "synonym"
	MatchVernacular     MatchKind = "vernacular"
)

// claim is one entry's claim to a name.
type claim struct {
	species int32
	kind    MatchKind
	shown   string // the name as catalogued
}

// scientific reports whether the claim is to a name of science, which may be
// abbreviated or followed by an author.
func (c claim) scientific() bool { return c.kind != MatchVernacular }

// nameRecord is one normal form with all that claim it, in order of id.
type nameRecord struct {
	key    string
	claims []claim
	group  int32 // index of the trade word, or -1
}

// group is a trade word with its candidates: the declared ones in order, then any
// entries that carry the word as a name without being declared.
type group struct {
	word    string
	species []int32
}

// nameTable holds every name of a snapshot, ready for lookup.
type nameTable struct {
	records []nameRecord
	byKey   map[string]int32
	groups  []group
	genera  map[string][]claim       // by genus, accepted names before synonyms
	epithet map[string][]genusAndKey // by what follows the genus
	parents map[int32]int32          // the species of each form
	// Room for the claims and genera that are the only ones to their names, as nearly all are, while the table is made.
	spare       []claim
	spareGenera []genusAndKey
	// What only searches, labels and unknown names need is made for the first of them: it takes as long as all the rest.
	compact func() map[string]int32 // by the key without its spaces; -1 where two kinds share it
	turns   func() map[string]int32 // by labels.InAnyOrder; likewise
	starts  func() []wordStart
	grams   func() *trigramIndex
	nouns   func() map[string]nounUse // of many kinds
}

// genusAndKey is a scientific name split for the lookup of abbreviated genera.
type genusAndKey struct {
	genus  string
	record int32
}

// buildNames collects the names of all entries and words of s.
func buildNames(s *Snapshot) (*nameTable, error) {
	names, formal := len(s.words), 0
	for _, e := range s.entries {
		names, formal = names+1+len(e.Synonyms)+len(e.Names), formal+1+len(e.Synonyms)
	}
	t := &nameTable{
		records: make([]nameRecord, 0, names),
		byKey:   make(map[string]int32, names),
		genera:  make(map[string][]claim),
		epithet: make(map[string][]genusAndKey, formal),
		parents: make(map[int32]int32),
		spare:   make([]claim, 0, names), spareGenera: make([]genusAndKey, 0, formal),
	}
	defer func() { t.spare, t.spareGenera = nil, nil }()
	for i, e := range s.entries {
		if err := t.addEntry(s, int32(i), e); err != nil {
			return nil, err
		}
	}
	t.addSynonymGenera()
	for _, w := range s.words {
		if err := t.addGroup(s, w); err != nil {
			return nil, err
		}
	}
	t.compact = sync.OnceValue(func() map[string]int32 {
		return indexKinds(t.records, func(key string) (string, bool) {
			return strings.ReplaceAll(key, " ", ""), len(key) >= leastUnspaced
		})
	})
	t.turns = sync.OnceValue(func() map[string]int32 {
		return indexKinds(t.records, func(key string) (string, bool) {
			return labels.InAnyOrder(strings.Fields(key)), strings.Contains(key, " ")
		})
	})
	t.starts = sync.OnceValue(func() []wordStart { return indexStarts(t.records) })
	t.grams = sync.OnceValue(func() *trigramIndex { return indexTrigrams(t.records) })
	t.nouns = sync.OnceValue(func() map[string]nounUse { return indexNouns(s.entries) })
	return t, nil
}

// indexKinds finds records of one kind by another key made of theirs, where ok says that there is one; what two kinds share
// is -1.
func indexKinds(records []nameRecord, another func(key string) (string, bool)) map[string]int32 {
	out := make(map[string]int32, len(records))
	for i, r := range records {
		key, ok := another(r.key)
		if !ok {
			continue
		}
		old, taken := out[key]
		switch {
		case r.group >= 0 || len(r.claims) != 1:
			out[key] = -1
		case !taken:
			out[key] = int32(i)
		case old >= 0 && records[old].claims[0].species != r.claims[0].species:
			out[key] = -1
		}
	}
	return out
}

// addEntry adds the names of one entry, the strongest kind first: an entry claims
// each name once. A trade form leaves the bare scientific name, and any synonym
// they share, to its parent.
func (t *nameTable) addEntry(s *Snapshot, i int32, e *Species) error {
	var inherited map[string]bool
	if e.FormOf != "" {
		parent, _ := s.ByID(e.FormOf)
		t.parents[i] = int32(s.index[e.FormOf])
		inherited = formalKeys(append([]string{e.ScientificName, parent.ScientificName}, parent.Synonyms...))
	}
	add := func(kind MatchKind, name string) error {
		key, err := catalogueKey(e.ID, name)
		if err == nil && !(inherited[key] && kind != MatchVernacular) {
			t.add(key, claim{i, kind, name})
		}
		return err
	}
	err := add(MatchScientificName, e.ScientificName)
	for _, name := range e.Synonyms {
		err = firstError(err, add(MatchSynonym, name))
	}
	err = firstError(err, add(MatchID, string(e.ID)))
	for _, name := range e.Names {
		err = firstError(err, add(MatchVernacular, name.Text))
	}
	genus, _, _ := strings.Cut(spelling.Normal(e.ScientificName), " ")
	t.genera[genus] = append(t.genera[genus], claim{i, MatchScientificName, e.ScientificName})
	return err
}

// catalogueKey is the normal form of a catalogued name, which must be one that can
// be looked up.
func catalogueKey(id ID, name string) (string, error) {
	if err := checkName(name); err != nil {
		return "", &CatalogueError{Entry: string(id), What: err.Error()}
	}
	key := spelling.Normal(name)
	if key == "" {
		return "", &CatalogueError{Entry: string(id), What: "a name has no letter or digit"}
	}
	return key, nil
}

func formalKeys(names []string) map[string]bool {
	keys := make(map[string]bool, len(names))
	for _, n := range names {
		keys[spelling.Normal(n)] = true
	}
	return keys
}

func firstError(a, b error) error {
	if a != nil {
		return a
	}
	return b
}

// add records a claim, unless the entry has already claimed the name.
func (t *nameTable) add(key string, c claim) {
	r, ok := t.byKey[key]
	if !ok {
		r = t.newRecord(key)
	}
	claims := t.records[r].claims
	if n := len(claims); n > 0 && claims[n-1].species == c.species {
		return // entries come one after the other, so an earlier claim is the last one
	}
	t.records[r].claims = another(claims, c, &t.spare)
	if genus, rest, ok := strings.Cut(key, " "); ok && c.scientific() {
		t.epithet[rest] = another(t.epithet[rest], genusAndKey{genus, r}, &t.spareGenera)
	}
}

// another appends to a list, whose first lies in spare.
func another[T any](list []T, x T, spare *[]T) []T {
	if len(list) > 0 {
		return append(list, x)
	}
	*spare = append(*spare, x)
	n := len(*spare)
	return (*spare)[n-1 : n : n]
}

func (t *nameTable) newRecord(key string) int32 {
	r := int32(len(t.records))
	t.records = append(t.records, nameRecord{key: key, group: -1})
	t.byKey[key] = r
	return r
}

// addSynonymGenera lists, behind the entries of each genus, those that only had a
// name in it.
func (t *nameTable) addSynonymGenera() {
	for _, r := range t.records {
		genus, _, _ := strings.Cut(r.key, " ")
		for _, c := range r.claims {
			if c.kind == MatchSynonym && !claimed(t.genera[genus], c.species) {
				t.genera[genus] = append(t.genera[genus], c)
			}
		}
	}
}

func claimed(claims []claim, species int32) bool {
	for _, c := range claims {
		if c.species == species {
			return true
		}
	}
	return false
}

// MaxName is the longest name in bytes that is looked up.
const MaxName = 200

// checkName refuses names that are not a short line of text with a letter or digit.
func checkName(name string) error {
	switch {
	case len(name) > MaxName:
		return badName(name, "it is longer than 200 bytes")
	case !utf8.ValidString(name):
		return badName(name, "it is not valid UTF-8")
	}
	for _, r := range name {
		if unicode.IsControl(r) {
			return badName(name, "it has a control character in it")
		}
	}
	return nil
}

// MakeID is the id of an entry: the scientific name, and the trade form if there
// is one, in lower case without diacritics, with hyphens between the words.
// MakeID("Carassius auratus", "fancy") is "carassius-auratus-fancy".
func MakeID(scientificName, form string) ID {
	return ID(strings.ReplaceAll(spelling.Normal(scientificName+" "+form), " ", "-"))
}
