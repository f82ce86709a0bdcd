package lookups

import (
	"net/http"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/internal/conflict"

	"github.com/labstack/echo/v4"
)

// ExplainPairing explains one pairing. Encoded answers are cached, by resolved request and
// what is reported of the pair: encoding costs more than judging.
func (s *Lookups) ExplainPairing(c echo.Context, first string, second string, p gen.ExplainPairingParams) error {
	book, err := s.books.Book()
	if err != nil {
		return err
	}
	key, err := readPairing(book.Snapshot, first, second, p)
	if err != nil {
		return err
	}
	key.reports = s.tallies().Of(pairOf(book.Snapshot, key.Index))
	if before, ok := s.cache.Get(book, key); ok {
		return respond.To(c).Send(before, nil)
	}
	answer, err := s.encodePairing(book, key)
	if err != nil {
		return err
	}
	s.cache.Put(book, key, answer)
	return respond.To(c).Send(answer, nil)
}

func (s *Lookups) encodePairing(book *conflict.Book, key PairingRequest) (*respond.Reply, error) {
	body, err := respond.EncodeJSON(pairingWire(book, key))
	if err != nil {
		return nil, err
	}
	address := key.Address(book.Snapshot)
	answer := &respond.Reply{Status: http.StatusOK, Media: respond.JSONType, Body: body, ContentLocation: address,
		ETag: s.books.Tag(book, address+tallyMark(&key.reports))}
	return answer.Prepare(), nil
}
