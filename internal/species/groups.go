package species

import "slices"

// addGroup records a trade word and the entries it may mean.
func (t *nameTable) addGroup(s *Snapshot, w GroupWord) error {
	fault := func(what string) error { return &CatalogueError{Entry: w.Word, What: what} }
	key, err := catalogueKey(ID(w.Word), w.Word)
	if err != nil {
		return err
	}
	if len(w.Candidates) == 0 {
		return fault("the word has no candidates")
	}
	r, ok := t.byKey[key]
	if !ok {
		r = t.newRecord(key)
	}
	record := &t.records[r]
	if record.group >= 0 {
		return fault("the word is declared twice")
	}
	g := group{word: w.Word}
	for _, id := range w.Candidates {
		i, ok := s.index[id]
		if !ok || slices.Contains(g.species, int32(i)) {
			return fault("the candidate " + string(id) + " is missing from the catalogue or listed twice")
		}
		g.species = append(g.species, int32(i))
	}
	for _, c := range record.claims {
		if c.kind == MatchScientificName || c.kind == MatchID {
			return fault("the word is also a scientific name or an id")
		}
		if !slices.Contains(g.species, c.species) {
			g.species = append(g.species, c.species)
		}
	}
	record.group = int32(len(t.groups))
	t.groups = append(t.groups, g)
	return nil
}

// claims lists what a trade word may mean as claims to the word.
func (g group) claims() []claim {
	out := make([]claim, len(g.species))
	for i, sp := range g.species {
		out[i] = claim{sp, MatchVernacular, g.word}
	}
	return out
}
