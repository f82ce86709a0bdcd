package tanks

import (
	"strconv"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/transact"
	"commensal/internal/stocking"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"
)

// FetchAdopters puts what is stored of the tanks named by id into the request, as if it
// had been given there. stored reports whether there were any.
func (s *Tanks) FetchAdopters(c echo.Context, in *gen.PlacementsRequest) (stored bool, err error) {
	found := respond.Faults{Malformed: respond.MalformedBody}
	impossible := func(i int, detail, fix string) {
		found.Impossible = append(found.Impossible, respond.AtField(gen.Body, "/tanks/"+strconv.Itoa(i)+"/id", detail, fix))
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
			id, err := respond.ParseID(*t.Id)
			if err != nil { // no text that is no id names a tank
				impossible(i, "There is no such tank.", "list the tanks with GET /v1/tanks")
				continue
			}
			at, ids = append(at, i), append(ids, id)
		}
	}
	if len(ids) == 0 {
		return false, found.Err()
	}
	if s.store == nil {
		return false, respond.ErrDatabaseAway
	}
	tanks, err := s.store.Stocks(c.Request().Context(), transact.Who(c).Organization, ids, stocking.MaxLines)
	if err != nil {
		return false, respond.StoreFault(err)
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
	return true, found.Err()
}
