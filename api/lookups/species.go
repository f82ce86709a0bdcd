package lookups

import (
	"net/http"

	"commensal/api/respond"
	"commensal/api/wire"
	"commensal/internal/species"

	"github.com/labstack/echo/v4"
)

// GetSpecies tells everything known about one species.
func (s *Lookups) GetSpecies(c echo.Context, name string) error {
	book, err := s.books.Book()
	if err != nil {
		return err
	}
	matches, err := wire.ResolveAll(book.Snapshot, wire.InPath("species", name))
	if err != nil {
		return err
	}
	path := SpeciesPath(matches[0].Species.ID)
	return respond.To(c).Send(&respond.Reply{Status: http.StatusOK, Media: respond.JSONType, ContentLocation: path, ETag: s.books.Tag(book, path),
		Make: func() (any, error) {
			return SpeciesEntry(book.Snapshot.Revision(), book.Snapshot.Sources(), matches[0].Species), nil
		}}, nil)
}

func SpeciesPath(id species.ID) string { return "/v1/species/" + string(id) }
