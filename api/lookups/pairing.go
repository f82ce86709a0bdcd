package lookups

import (
	"net/http"

	"commensal/api/gen"
	"commensal/api/respond"

	"github.com/labstack/echo/v4"
)

// ExplainPairing explains one pairing.
func (s *Lookups) ExplainPairing(c echo.Context, first string, second string, p gen.ExplainPairingParams) error {
	return respond.To(c).Send(s.pairing(c.Request(), first, second, &p))
}

// noQuery asks nothing beside the two kinds.
var noQuery = &gen.ExplainPairingParams{}

func (s *Lookups) pairing(r *http.Request, first, second string, p *gen.ExplainPairingParams) (*respond.Reply, error) {
	book, err := s.books.Book()
	if err != nil {
		return nil, err
	}
	key, err := readPairing(book.Snapshot, first, second, p)
	if err != nil {
		return nil, err
	}
	tallies := s.tallies()
	key.reports = tallies.Of(pairOf(book.Snapshot, key.Index))
	pairing := pairingWire(book, &key)
	body, err := encodeBody(&pairing)
	if err != nil {
		return nil, err
	}
	address := key.Address(book.Snapshot)
	answer := &respond.Reply{Status: http.StatusOK, Media: respond.JSONType, Body: body, ContentLocation: address,
		ETag: s.books.Tag(book, address+tallyMark(&key.reports))}
	s.asked.put(r, book, tallies, answer)
	return answer, nil
}
