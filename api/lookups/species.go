package lookups

import (
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
	answer, err := respond.JSON(SpeciesEntry(book.Snapshot.Revision(), book.Snapshot.Sources(), matches[0].Species))
	if err != nil {
		return err
	}
	answer.ContentLocation, answer.ETag = path, s.books.Tag(book, path)
	s.asked.put(c.Request(), book, s.tallies(), answer)
	return respond.To(c).Send(answer, nil)
}

func SpeciesPath(id species.ID) string { return "/v1/species/" + string(id) }
