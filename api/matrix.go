package api

import (
	"context"
	"strconv"

	"commensal/api/gen"
	"commensal/internal/conflict"
	"commensal/internal/species"
)

// PostPairings scores every species of a list with every other and its own kind.
func (s *Server) PostPairings(_ context.Context, r gen.PostPairingsRequestObject) (gen.PostPairingsResponseObject, error) {
	sh, err := s.current()
	if err != nil {
		return nil, err
	}
	names := make([]named, len(r.Body.Species))
	for i, name := range r.Body.Species {
		names[i] = named{gen.Body, "/species/" + strconv.Itoa(i), name}
	}
	matches, err := resolveAll(sh.book.Snapshot, names...)
	if err != nil {
		return nil, err
	}
	return jsonReply(matrixWire(sh.book, matches))
}

// matrixWire is the whole matrix. A score does not depend on the order of the two, so
// half of them are computed.
func matrixWire(book *conflict.Book, list []species.Match) gen.PairingMatrix {
	out := gen.PairingMatrix{
		Species: make([]gen.SpeciesRef, len(list)), Scores: make([][]gen.Score, len(list)),
		ModelVersion: book.Model.Version(), CatalogueRevision: book.Snapshot.Revision(),
	}
	for i, m := range list {
		out.Species[i] = refWire(m.Species)
		out.Scores[i] = make([]gen.Score, len(list))
		for j := range i + 1 {
			score := Tenths(book.Value(m.Index, list[j].Index))
			out.Scores[i][j], out.Scores[j][i] = score, score
		}
	}
	return out
}
