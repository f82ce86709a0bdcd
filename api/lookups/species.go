package lookups

import (
	"context"
	"net/http"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/wire"
	"commensal/internal/species"
)

// GetSpecies tells everything known about one species.
func (s *Lookups) GetSpecies(_ context.Context, r gen.GetSpeciesRequestObject) (gen.GetSpeciesResponseObject, error) {
	book, err := s.books.Book()
	if err != nil {
		return nil, err
	}
	matches, err := wire.ResolveAll(book.Snapshot, wire.InPath("species", r.Species))
	if err != nil {
		return nil, err
	}
	path := SpeciesPath(matches[0].Species.ID)
	return &respond.Reply{Status: http.StatusOK, Media: respond.JSONType, ContentLocation: path, ETag: s.books.Tag(book, path),
		Make: func() (any, error) {
			return SpeciesEntry(book.Snapshot.Revision(), book.Snapshot.Sources(), matches[0].Species), nil
		}}, nil
}

func SpeciesPath(id species.ID) string { return "/v1/species/" + string(id) }
