package tanks

import (
	"context"
	"net/url"
	"strconv"

	"commensal/api/gen"
	"commensal/api/lists"
	"commensal/api/respond"
	"commensal/api/transact"
	"commensal/api/wire"
	"commensal/internal/store"
)

// CreateTank stores a tank, with its first residents where they are given.
func (s *Tanks) CreateTank(ctx context.Context, r gen.CreateTankRequestObject) (gen.CreateTankResponseObject, error) {
	k, lines, err := s.readTank(&gen.TankWrite{Label: r.Body.Label, ExternalRef: r.Body.ExternalRef, Tank: r.Body.Tank}, wire.Value(r.Body.Residents))
	if err != nil {
		return nil, err
	}
	return transact.Write(ctx, s.store, func(tx *store.Tx) (*respond.Reply, error) {
		k, err := tx.CreateTank(ctx, k, lines)
		if err != nil {
			return nil, err
		}
		return respond.CreatedThing("/v1/tanks/"+k.ID.String(), k.Version, tankWire, k)
	})
}

// ListTanks lists the organization's tanks.
func (s *Tanks) ListTanks(ctx context.Context, r gen.ListTanksRequestObject) (gen.ListTanksResponseObject, error) {
	whose, filters := transact.CallOf(ctx).Organization, url.Values{}
	if r.Params.ExternalRef != nil {
		filters.Set("external_ref", *r.Params.ExternalRef)
	}
	k, err := respond.NewKeyset(whose, "/v1/tanks", filters, r.Params.Limit, r.Params.Cursor)
	if err != nil {
		return nil, err
	}
	after, err := k.AfterID()
	if err != nil {
		return nil, err
	}
	var list []store.Tank
	err = transact.Read(ctx, s.store, func(tx *store.Tx) (err error) {
		if r.Params.ExternalRef != nil {
			list, err = tx.TanksOf(ctx, *r.Params.ExternalRef, after)
			return err
		}
		list, err = tx.Tanks(ctx, after, k.Limit+1)
		return err
	})
	if err != nil {
		return nil, err
	}
	list, next, link := respond.Cut(&k, whose, list, func(t *store.Tank) string { return t.ID.String() })
	tanks, err := wire.MappedAll(list, tankWire)
	if err != nil {
		return nil, err
	}
	return respond.Listed(gen.TanksPage{Tanks: tanks, Next: next}, link)
}

// GetTank answers with one tank.
func (s *Tanks) GetTank(ctx context.Context, r gen.GetTankRequestObject) (gen.GetTankResponseObject, error) {
	id, err := respond.ParseID(r.Tank)
	if err != nil {
		return nil, respond.StoreFault(err)
	}
	if s.store == nil {
		return nil, respond.ErrDatabaseAway
	}
	k, err := s.store.Tank(ctx, transact.CallOf(ctx).Organization, id)
	if err != nil {
		return nil, respond.StoreFault(err)
	}
	return respond.Thing(k.Version, tankWire, k)
}

// ReplaceTank replaces what is stored of a tank.
func (s *Tanks) ReplaceTank(ctx context.Context, r gen.ReplaceTankRequestObject) (gen.ReplaceTankResponseObject, error) {
	k, _, err := s.readTank(r.Body, nil)
	if err != nil {
		return nil, err
	}
	return s.changeTank(ctx, r.Tank, r.Params.IfMatch, func(store.Tank) (store.Tank, error) { return k, nil })
}

// PatchTank changes what is stored of a tank.
func (s *Tanks) PatchTank(ctx context.Context, r gen.PatchTankRequestObject) (gen.PatchTankResponseObject, error) {
	return s.changeTank(ctx, r.Tank, r.Params.IfMatch, func(old store.Tank) (store.Tank, error) {
		now, err := tankWrite(old)
		if err != nil {
			return old, err
		}
		var patched gen.TankWrite
		if err := s.contract.Patch(now, *r.Body, "replaceTank", &patched); err != nil {
			return old, err
		}
		k, _, err := s.readTank(&patched, nil)
		return k, err
	})
}

func (s *Tanks) changeTank(ctx context.Context, id string, ifMatch *string, change func(store.Tank) (store.Tank, error)) (*respond.Reply, error) {
	tank, match, err := respond.Precondition(id, ifMatch)
	if err != nil {
		return nil, err
	}
	return transact.Write(ctx, s.store, func(tx *store.Tx) (*respond.Reply, error) {
		k, err := tx.ChangeTank(ctx, tank, match, change)
		if err != nil {
			return nil, err
		}
		return respond.Thing(k.Version, tankWire, k)
	})
}

// DeleteTank deletes a tank with all that is in it.
func (s *Tanks) DeleteTank(ctx context.Context, r gen.DeleteTankRequestObject) (gen.DeleteTankResponseObject, error) {
	tank, match, err := respond.Precondition(r.Tank, r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	return transact.Write(ctx, s.store, func(tx *store.Tx) (*respond.Reply, error) {
		return respond.NoContent(), tx.DeleteTank(ctx, tank, match)
	})
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
	k.Description, err = respond.EncodeJSON(in.Tank)
	return k, lines, err
}
