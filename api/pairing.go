package api

import (
	"context"
	"net/http"

	"commensal/api/gen"
	"commensal/internal/conflict"
)

// GetPairing explains one pairing. Encoded answers are kept, by resolved request and
// what is reported of the pair, as long as their book is current: encoding costs more
// than judging.
func (s *Server) GetPairing(_ context.Context, r gen.GetPairingRequestObject) (gen.GetPairingResponseObject, error) {
	sh, err := s.current()
	if err != nil {
		return nil, err
	}
	key, err := readPairing(sh.book.Snapshot, r)
	if err != nil {
		return nil, err
	}
	key.reports = s.tallies().Of(pairOf(sh.book.Snapshot, key.index))
	if kept, ok := sh.pairings.get(key); ok {
		return kept, nil
	}
	answer, err := s.encodePairing(sh.book, key)
	if err != nil {
		return nil, err
	}
	sh.pairings.put(key, answer)
	return answer, nil
}

func (s *Server) encodePairing(book *conflict.Book, key pairingKey) (*reply, error) {
	body, err := encodeJSON(pairingWire(book, key))
	if err != nil {
		return nil, err
	}
	address := key.address(book.Snapshot)
	answer := &reply{status: http.StatusOK, media: jsonType, body: body, location: address,
		etag: s.entityTag(book, address+tallyMark(&key.reports))}
	return answer.prepare(), nil
}
