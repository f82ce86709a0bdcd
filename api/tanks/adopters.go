package tanks

import (
	"slices"
	"strconv"

	"commensal/api/gen"
	"commensal/api/lists"
	"commensal/api/respond"
	"commensal/api/transact"
	"commensal/internal/stocking"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"
)

// Region is where whoever asks is, as the organization says itself; empty where it does not, or where nobody known asks.
func (s *Tanks) Region(c echo.Context) string {
	if who := transact.Who(c); who != nil {
		return who.Region
	}
	return ""
}

// FetchAdopters puts what is stored of the tanks named by id into the request, as if it
// had been given there, and tells which they are.
func (s *Tanks) FetchAdopters(c echo.Context, in *gen.PlacementsRequest) (stored []lists.StoredTank, err error) {
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
			if slices.Contains(ids, id) {
				impossible(i, "The tank is named twice.", "name each tank once")
				continue
			}
			at, ids = append(at, i), append(ids, id)
		}
	}
	if len(ids) == 0 {
		return nil, found.Err()
	}
	if s.store == nil {
		return nil, respond.ErrDatabaseAway
	}
	tanks, err := s.store.Stocks(c.Request().Context(), transact.Who(c).Organization, ids, stocking.MaxLines)
	if err != nil {
		return nil, respond.StoreFault(err)
	}
	for k, i := range at {
		if tanks[k].Tank.ID == uuid.Nil {
			impossible(i, "There is no such tank.", "list the tanks with GET /v1/tanks")
			continue
		}
		description, lines, err := s.AsGiven(tanks[k])
		if err != nil {
			return nil, err
		}
		t, kept := &in.Tanks[i], &tanks[k].Tank
		if t.Tank, t.Residents = description, &lines; t.ExternalRef == nil {
			t.ExternalRef = kept.ExternalRef
		}
		if t.Label == nil {
			t.Label = kept.Label
		}
		if t.Wishes == nil {
			if t.Wishes, err = wishesOf(kept); err != nil {
				return nil, err
			}
		}
		stored = append(stored, lists.StoredTank{Position: i, ID: kept.ID, Version: kept.Version, Revision: kept.Revision})
	}
	return stored, found.Err()
}
