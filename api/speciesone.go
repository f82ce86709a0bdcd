package api

import (
	"context"
	"net/http"

	"commensal/api/gen"
	"commensal/internal/species"
)

// GetSpecies tells everything known about one species.
func (s *Server) GetSpecies(_ context.Context, r gen.GetSpeciesRequestObject) (gen.GetSpeciesResponseObject, error) {
	sh, err := s.current()
	if err != nil {
		return nil, err
	}
	matches, err := resolveAll(sh.book.Snapshot, inPath("species", r.Species))
	if err != nil {
		return nil, err
	}
	path := speciesPath(matches[0].Species.ID)
	return &reply{status: http.StatusOK, media: jsonType, location: path, etag: s.entityTag(sh.book, path),
		make: func() (any, error) {
			return speciesWire(sh.book.Snapshot.Revision(), sh.book.Snapshot.Sources(), matches[0].Species), nil
		}}, nil
}

func speciesPath(id species.ID) string { return "/v1/species/" + string(id) }
