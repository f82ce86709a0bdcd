package lookups

import (
	"strconv"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/validate"
	"commensal/api/wire"
	"commensal/api/work"
	"commensal/internal/conflict"
	"commensal/internal/species"

	"github.com/labstack/echo/v4"
)

// ScorePairings scores every species of a list with every other and its own kind.
func (s *Lookups) ScorePairings(c echo.Context, p gen.ScorePairingsParams) error {
	in, err := validate.Body[gen.PairingMatrixRequest](c)
	if err != nil {
		return err
	}
	book, err := s.books.Book()
	if err != nil {
		return err
	}
	names := make([]wire.Named, len(in.Species))
	for i, name := range in.Species {
		names[i] = wire.InBody("/species/"+strconv.Itoa(i), name)
	}
	matches, err := wire.ResolveAll(book.Snapshot, names...)
	if err != nil {
		return err
	}
	work.Count(c.Request().Context(), work.Pairs(len(matches)))
	return respond.To(c).Send(respond.JSON(matrixWire(book, matches)))
}

// matrixWire is the whole matrix. A score does not depend on the order of the two, so
// half of them are computed.
func matrixWire(book *conflict.Book, list []species.Match) gen.PairingMatrix {
	out := gen.PairingMatrix{
		Species: make([]gen.SpeciesRef, len(list)), Scores: make([][]gen.Score, len(list)),
		ModelVersion: book.Model.Version(), CatalogueRevision: book.Snapshot.Revision(),
	}
	for i, m := range list {
		out.Species[i] = wire.SpeciesRef(m.Species)
		out.Scores[i] = make([]gen.Score, len(list))
		for j := range i + 1 {
			score := wire.Tenths(book.Value(m.Index, list[j].Index))
			out.Scores[i][j], out.Scores[j][i] = score, score
		}
	}
	return out
}
