package tanks

import (
	"commensal/api/respond"
	"commensal/api/transact"
	"commensal/internal/store"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"
)

// What is done with the things that stand in a tank, its residents and its readings.

// write changes something in a tank, in one transaction.
func (s *Tanks) write(c echo.Context, tankID string, change func(*store.Tx, uuid.UUID) (*respond.Reply, error)) (*respond.Reply, error) {
	tank, err := respond.ParseID(tankID)
	if err != nil {
		return nil, respond.StoreFault(err)
	}
	return transact.Write(c, s.store, func(tx *store.Tx) (*respond.Reply, error) { return change(tx, tank) })
}

// read reads a page of what stands in a tank, and one more where there is more.
type read[T any] func(tx *store.Tx, tank uuid.UUID) ([]T, error)

// page is a page of what stands in a tank under a path, with the cursor and the link of the next. from
// reads the place where it begins, and place says where a thing stands.
func page[T any](s *Tanks, c echo.Context, tankID, path string, limit *int, cursor *string, from func(*respond.Keyset) (read[T], error), place func(*T) string) (list []T, next *string, link string, err error) {
	whose := transact.Who(c).Organization
	tank, err := respond.ParseID(tankID)
	if err != nil {
		return nil, nil, "", respond.StoreFault(err)
	}
	k, err := respond.NewKeyset(whose, "/v1/tanks/"+tankID+"/"+path, nil, limit, cursor)
	if err != nil {
		return nil, nil, "", err
	}
	some, err := from(&k)
	if err != nil {
		return nil, nil, "", err
	}
	err = transact.ReadAnywhere(c, s.store, func(tx *store.Tx) (err error) {
		list, err = some(tx, tank)
		return err
	})
	if err != nil {
		return nil, nil, "", err
	}
	list, next, link = respond.Cut(&k, whose, list, place)
	return list, next, link, nil
}
