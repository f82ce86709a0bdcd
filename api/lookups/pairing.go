package lookups

import (
	"context"
	"net/http"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/internal/conflict"
)

// GetPairing explains one pairing. Encoded answers are kept, by resolved request and
// what is reported of the pair, as long as their book is current: encoding costs more
// than judging.
func (s *Lookups) GetPairing(_ context.Context, r gen.GetPairingRequestObject) (gen.GetPairingResponseObject, error) {
	book, err := s.books.Book()
	if err != nil {
		return nil, err
	}
	key, err := readPairing(book.Snapshot, r)
	if err != nil {
		return nil, err
	}
	key.reports = s.tallies().Of(pairOf(book.Snapshot, key.Index))
	if before, ok := s.cache.Get(book, key); ok {
		return before, nil
	}
	answer, err := s.encodePairing(book, key)
	if err != nil {
		return nil, err
	}
	s.cache.Put(book, key, answer)
	return answer, nil
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
