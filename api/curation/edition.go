package curation

import (
	"context"
	"crypto/sha256"
	"slices"
	"sync"

	"commensal/api/respond"
	"commensal/internal/species"
	"commensal/internal/species/catalogue/verify"
	"commensal/internal/store"
)

// contentHash tells the content of a catalogue from all others.
type contentHash = [sha256.Size]byte

// maxEditions bounds the catalogues cached for curators, some 10 KB an entry. Editions that
// were made from each other share the entries that are the same.
const maxEditions = 3

// edition is one revision of the catalogue with its content and what verification says
// of it. It is read from the database, because this replica may be behind.
type edition struct {
	store.Revision
	catalogue species.Catalogue
	problems  func() []verify.Problem
}

func newEdition(r store.Revision, c species.Catalogue) *edition {
	return &edition{r, c, sync.OnceValue(func() []verify.Problem { return verify.Catalogue(c) })}
}

// latest is the current edition.
func (s *Curation) latest(ctx context.Context) (*edition, error) {
	if s.store == nil {
		return nil, respond.ErrDatabaseAway
	}
	r, err := s.store.LatestRevision(ctx)
	if err != nil {
		return nil, respond.StoreFault(err)
	}
	return s.edition(ctx, r)
}

// edition is the edition of a revision. Content that was seen before is known by its hash.
func (s *Curation) edition(ctx context.Context, r store.Revision) (*edition, error) {
	if same, ok := s.editions.Get(r.ContentHash); ok {
		return &edition{r, same.catalogue, same.problems}, nil
	}
	c, err := s.store.Catalogue(ctx, r.Number)
	if err != nil {
		return nil, respond.StoreFault(err)
	}
	e := newEdition(r, c)
	s.editions.Add(r.ContentHash, e)
	return e, nil
}

// find is the entry with an id and its place; nil for none.
func (e *edition) find(id species.ID) (int, *species.Species) {
	i := slices.IndexFunc(e.catalogue.Species, func(s *species.Species) bool { return s.ID == id })
	if i < 0 {
		return i, nil
	}
	return i, e.catalogue.Species[i]
}

// with is the catalogue with an entry in place of the one with its id, or behind the
// others, and the sources that it brings.
func (e *edition) with(s *species.Species, sources []species.Source) species.Catalogue {
	c := species.Catalogue{Species: slices.Clone(e.catalogue.Species), Words: e.catalogue.Words}
	i, was := e.find(s.ID)
	if was == nil {
		c.Species = append(c.Species, s)
	} else {
		c.Species[i] = s
	}
	c.Sources = stillCited(append(slices.Clone(e.catalogue.Sources), sources...), was, c.Species)
	return c
}

// without is the catalogue without the entry at a place.
func (e *edition) without(i int) species.Catalogue {
	c := species.Catalogue{Species: slices.Delete(slices.Clone(e.catalogue.Species), i, i+1), Words: e.catalogue.Words}
	c.Sources = stillCited(slices.Clone(e.catalogue.Sources), e.catalogue.Species[i], c.Species)
	return c
}

// stillCited drops the sources that only an entry which is no more has cited.
func stillCited(sources []species.Source, was *species.Species, list []*species.Species) []species.Source {
	return slices.DeleteFunc(sources, func(s species.Source) bool {
		cites := func(e *species.Species) bool { return e.Cites(s.Key) }
		return was != nil && cites(was) && !slices.ContainsFunc(list, cites)
	})
}

// news are the problems of an edition that the one before did not have, and those of one
// entry in any case.
func news(before, after []verify.Problem, id species.ID) []verify.Problem {
	known := make(map[verify.Problem]bool, len(before))
	for _, p := range before {
		known[p] = true
	}
	var out []verify.Problem
	for _, p := range after {
		if p.Species == id || !known[p] {
			out = append(out, p)
		}
	}
	return out
}
