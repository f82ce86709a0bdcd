package api

import (
	"context"
	"net/http"

	"commensal/api/gen"
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
	path := "/v1/species/" + string(matches[0].Species.ID)
	return &reply{status: http.StatusOK, media: jsonType, location: path, etag: s.entityTag(sh.book, path),
		make: func() (any, error) { return speciesWire(sh.book.Snapshot, matches[0].Species), nil }}, nil
}
