package species

import (
	"cmp"
	"slices"
)

// Snapshot is an immutable, indexed catalogue. All methods may be called from many
// goroutines at once. Entries are ordered by id, whatever order they came in.
type Snapshot struct {
	revision int64
	entries  []*Species
	index    map[ID]int
	sources  []Source
	words    []GroupWord
	names    *nameTable
}

// NewSnapshot indexes a catalogue. The catalogue's slices are copied, its species
// are shared and must not change afterwards. A [*CatalogueError] reports a missing,
// nameless or duplicate entry, a name that [Snapshot.Resolve] would refuse, a form
// without its parent, or a trade word without candidates, with unknown ones,
// declared twice or equal to a scientific name.
func NewSnapshot(revision int64, c Catalogue) (*Snapshot, error) {
	s := &Snapshot{revision: revision, sources: slices.Clone(c.Sources), words: cloneWords(c.Words)}
	if err := s.indexEntries(c.Species); err != nil {
		return nil, err
	}
	slices.SortFunc(s.sources, func(a, b Source) int { return cmp.Compare(a.Key, b.Key) })
	slices.SortStableFunc(s.words, func(a, b GroupWord) int { return cmp.Compare(a.Word, b.Word) })
	names, err := buildNames(s)
	if err != nil {
		return nil, err
	}
	s.names = names
	return s, nil
}

// indexEntries orders the entries by id and checks that ids and parents hold.
func (s *Snapshot) indexEntries(entries []*Species) error {
	for _, e := range entries {
		if e == nil || e.ID == "" || e.ScientificName == "" {
			return &CatalogueError{Entry: idOf(e), What: "it lacks an id or a scientific name"}
		}
	}
	s.entries = slices.Clone(entries)
	slices.SortStableFunc(s.entries, func(a, b *Species) int { return cmp.Compare(a.ID, b.ID) })
	s.index = make(map[ID]int, len(s.entries))
	for i, e := range s.entries {
		if _, ok := s.index[e.ID]; ok {
			return &CatalogueError{Entry: string(e.ID), What: "the id is used twice"}
		}
		s.index[e.ID] = i
	}
	for _, e := range s.entries {
		if _, ok := s.index[e.FormOf]; e.FormOf != "" && (!ok || e.FormOf == e.ID) {
			return &CatalogueError{Entry: string(e.ID), What: "the entry it is a form of is missing"}
		}
	}
	return nil
}

func idOf(e *Species) string {
	if e == nil {
		return ""
	}
	return string(e.ID)
}

func cloneWords(words []GroupWord) []GroupWord {
	words = slices.Clone(words)
	for i := range words {
		words[i].Candidates = slices.Clone(words[i].Candidates)
	}
	return words
}

// Revision is the number of the catalogue revision.
func (s *Snapshot) Revision() int64 { return s.revision }

// Len is the number of entries.
func (s *Snapshot) Len() int { return len(s.entries) }

// At is the i-th entry in order of id; it panics when i is not in 0 … Len()-1.
func (s *Snapshot) At(i int) *Species { return s.entries[i] }

// Index is the position of the entry with the id.
func (s *Snapshot) Index(id ID) (int, bool) {
	i, ok := s.index[id]
	return i, ok
}

// ByID is the entry with the id.
func (s *Snapshot) ByID(id ID) (*Species, bool) {
	i, ok := s.index[id]
	if !ok {
		return nil, false
	}
	return s.entries[i], true
}

// Sources is a copy of the list of sources, by key.
func (s *Snapshot) Sources() []Source { return slices.Clone(s.sources) }

// Words is a copy of the list of trade words, in alphabetical order.
func (s *Snapshot) Words() []GroupWord { return cloneWords(s.words) }

// candidate describes the i-th entry as something a name may have meant.
func (s *Snapshot) candidate(i int32, matched string, score float64) Candidate {
	e := s.entries[i]
	return Candidate{
		ID: e.ID, ScientificName: e.ScientificName, VernacularName: e.VernacularName("en"),
		Score: score, Matched: matched,
	}
}

// Catalogue is a whole catalogue as read from text or from the database, before
// it is indexed as a [Snapshot].
type Catalogue struct {
	Species []*Species
	Words   []GroupWord
	Sources []Source
}

// GroupWord is a trade word that names several species ("pleco", "cory"). It
// never resolves on its own: the candidates are listed, likeliest first.
type GroupWord struct {
	Word       string
	Candidates []ID
}

// Source is a publication that catalogue values cite by key.
type Source struct {
	Key      string
	Citation string
}
