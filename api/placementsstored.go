package api

import (
	"context"
	"strconv"

	"commensal/api/gen"
	"commensal/internal/auth"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"
)

// permitsStoredTanks lets stored tanks be named only with a key that may read them.
func (s *Server) permitsStoredTanks(c echo.Context, body any, text []byte) error {
	for _, tank := range asList(asMap(body)["tanks"]) {
		if _, named := asMap(tank)["id"]; named {
			return s.permit(c, auth.TanksRead, text)
		}
	}
	return nil
}

// fetchAdopters puts what is stored of the tanks named by id into the request, as if it
// had been given there. stored reports whether there were any.
func (s *Server) fetchAdopters(ctx context.Context, in *gen.PlacementsRequest) (stored bool, err error) {
	found := faults{malformed: malformedBody}
	impossible := func(i int, detail, fix string) {
		found.impossible = append(found.impossible, atField(gen.Body, "/tanks/"+strconv.Itoa(i)+"/id", detail, fix))
	}
	var at []int
	var ids []uuid.UUID
	for i := range in.Tanks {
		t := &in.Tanks[i]
		switch {
		case t.Id == nil:
		case t.Tank != nil || t.Residents != nil:
			impossible(i, "A stored tank is named, and its description or residents are given beside it.", "give either id or the tank")
		default:
			id, err := idOf(*t.Id)
			if err != nil { // no text that is no id names a tank
				impossible(i, "There is no such tank.", "list the tanks with GET /v1/tanks")
				continue
			}
			at, ids = append(at, i), append(ids, id)
		}
	}
	if len(ids) == 0 {
		return false, found.err()
	}
	if s.cfg.Store == nil {
		return false, errDatabaseAway
	}
	tanks, err := s.cfg.Store.Stocks(ctx, callOf(ctx).Organization, ids, maxResidents)
	if err != nil {
		return false, storeFault(err)
	}
	for k, i := range at {
		if tanks[k].Tank.ID == uuid.Nil {
			impossible(i, "There is no such tank.", "list the tanks with GET /v1/tanks")
			continue
		}
		description, lines, err := s.asGiven(tanks[k])
		if err != nil {
			return false, err
		}
		t := &in.Tanks[i]
		if t.Tank, t.Residents = description, &lines; t.ExternalRef == nil {
			t.ExternalRef = tanks[k].Tank.ExternalRef
		}
	}
	return true, found.err()
}
