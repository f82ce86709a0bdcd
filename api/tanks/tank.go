package tanks

import (
	"net/url"
	"strconv"

	"commensal/api/gen"
	"commensal/api/lists"
	"commensal/api/respond"
	"commensal/api/transact"
	"commensal/api/validate"
	"commensal/api/wire"
	"commensal/internal/store"

	"github.com/labstack/echo/v4"
)

// CreateTank stores a tank, with its first residents where they are given.
func (s *Tanks) CreateTank(c echo.Context, p gen.CreateTankParams) error {
	ctx := c.Request().Context()
	in, err := validate.Body[gen.NewTank](c)
	if err != nil {
		return err
	}
	if _, err := s.lists.NameArticles(c, lists.LinesAt("/residents", wire.Value(in.Residents))); err != nil {
		return err
	}
	k, lines, err := s.readTank(&gen.TankWrite{Label: in.Label, ExternalRef: in.ExternalRef, Tank: in.Tank, Wishes: in.Wishes}, wire.Value(in.Residents))
	if err != nil {
		return err
	}
	return respond.To(c).Send(transact.Write(c, s.store, func(tx *store.Tx) (*respond.Reply, error) {
		k, err := tx.Last().CreateTank(ctx, k, lines)
		if err != nil {
			return nil, err
		}
		return respond.CreatedThing("/v1/tanks/"+k.ID.String(), k.Version, tankWire, k)
	}))
}

// ListTanks lists the organization's tanks.
func (s *Tanks) ListTanks(c echo.Context, p gen.ListTanksParams) error {
	ctx := c.Request().Context()
	whose, filters := transact.Who(c).Organization, url.Values{}
	if p.ExternalRef != nil {
		filters.Set("external_ref", *p.ExternalRef)
	}
	k, err := respond.NewKeyset(whose, "/v1/tanks", filters, p.Limit, p.Cursor)
	if err != nil {
		return err
	}
	after, err := k.AfterID()
	if err != nil {
		return err
	}
	var list []store.Tank
	err = transact.ReadAnywhere(c, s.store, func(tx *store.Tx) (err error) {
		if p.ExternalRef != nil {
			list, err = tx.TanksOf(ctx, *p.ExternalRef, after)
			return err
		}
		list, err = tx.Tanks(ctx, after, k.Limit+1)
		return err
	})
	if err != nil {
		return err
	}
	list, next, link := respond.Cut(&k, whose, list, func(t *store.Tank) string { return t.ID.String() })
	tanks, err := wire.MappedAll(list, tankWire)
	if err != nil {
		return err
	}
	return respond.To(c).Send(respond.Listed(gen.TanksPage{Tanks: tanks, Next: next}, link))
}

// GetTank answers with one tank.
func (s *Tanks) GetTank(c echo.Context, tankID string) error {
	ctx := c.Request().Context()
	id, err := respond.ParseID(tankID)
	if err != nil {
		return respond.StoreFault(err)
	}
	if s.store == nil {
		return respond.ErrDatabaseAway
	}
	k, err := s.store.Tank(ctx, transact.Who(c).Organization, id)
	if err != nil {
		return respond.StoreFault(err)
	}
	return respond.To(c).Send(respond.Thing(k.Version, tankWire, k))
}

// ReplaceTank replaces what is stored of a tank.
func (s *Tanks) ReplaceTank(c echo.Context, tankID string, p gen.ReplaceTankParams) error {
	in, err := validate.Body[gen.TankWrite](c)
	if err != nil {
		return err
	}
	k, _, err := s.readTank(in, nil)
	if err != nil {
		return err
	}
	return respond.To(c).Send(s.changeTank(c, tankID, p.IfMatch, func(store.Tank) (store.Tank, error) { return k, nil }))
}

// PatchTank changes what is stored of a tank.
func (s *Tanks) PatchTank(c echo.Context, tankID string, p gen.PatchTankParams) error {
	in, err := validate.Body[gen.MergePatch](c)
	if err != nil {
		return err
	}
	return respond.To(c).Send(s.changeTank(c, tankID, p.IfMatch, func(old store.Tank) (store.Tank, error) {
		now, err := tankWrite(old)
		if err != nil {
			return old, err
		}
		var patched gen.TankWrite
		if err := s.contract.Patch(now, *in, "replaceTank", &patched); err != nil {
			return old, err
		}
		k, _, err := s.readTank(&patched, nil)
		return k, err
	}))
}

func (s *Tanks) changeTank(c echo.Context, id string, ifMatch *string, change func(store.Tank) (store.Tank, error)) (*respond.Reply, error) {
	tank, match, err := respond.Precondition(id, ifMatch)
	if err != nil {
		return nil, err
	}
	ctx := c.Request().Context()
	return transact.Write(c, s.store, func(tx *store.Tx) (*respond.Reply, error) {
		k, err := tx.ChangeTank(ctx, tank, match, change)
		if err != nil {
			return nil, err
		}
		return respond.Thing(k.Version, tankWire, k)
	})
}

// DeleteTank deletes a tank with all that is in it.
func (s *Tanks) DeleteTank(c echo.Context, tankID string, p gen.DeleteTankParams) error {
	ctx := c.Request().Context()
	tank, match, err := respond.Precondition(tankID, p.IfMatch)
	if err != nil {
		return err
	}
	return respond.To(c).Send(transact.Write(c, s.store, func(tx *store.Tx) (*respond.Reply, error) {
		return respond.NoContent(), tx.DeleteTank(ctx, tank, match)
	}))
}

// readTank reads a tank and lines of residents that are to be stored, or tells of
// everything that is wrong with them.
func (s *Tanks) readTank(in *gen.TankWrite, residents []gen.LineInput) (k store.Tank, lines []store.Resident, err error) {
	book, err := s.books.Book()
	if err != nil {
		return k, nil, err
	}
	r := lists.NewReader(book.Snapshot)
	r.OneLine("/label", in.Label)
	r.OneLine("/external_ref", in.ExternalRef)
	r.Tank(&in.Tank)
	wishes := r.StoredWishes("/wishes", in.Wishes)
	for i := range residents {
		line, err := storable(r, "/residents/"+strconv.Itoa(i), residents[i])
		if err != nil {
			return k, nil, err
		}
		lines = append(lines, line)
	}
	if err := r.Err(); err != nil {
		return k, nil, err
	}
	k.Label, k.ExternalRef = in.Label, in.ExternalRef
	if k.Description, err = respond.EncodeJSON(in.Tank); err != nil || wishes == nil {
		return k, lines, err
	}
	k.Wishes, err = respond.EncodeJSON(wishes)
	return k, lines, err
}
