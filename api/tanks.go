package api

import (
	"context"
	"net/http"
	"net/url"
	"strconv"

	"commensal/api/gen"
	"commensal/internal/stocking"
	"commensal/internal/store"
)

// CreateTank stores a tank, with its first residents where they are given.
func (s *Server) CreateTank(ctx context.Context, r gen.CreateTankRequestObject) (gen.CreateTankResponseObject, error) {
	k, lines, err := s.readTank(&gen.TankWrite{Label: r.Body.Label, ExternalRef: r.Body.ExternalRef, Tank: r.Body.Tank}, value(r.Body.Residents))
	if err != nil {
		return nil, err
	}
	return s.write(ctx, func(tx *store.Tx) (*reply, error) {
		k, err := tx.CreateTank(ctx, k, lines)
		if err != nil {
			return nil, err
		}
		return madeThing("/v1/tanks/"+k.ID.String(), k.Version, tankWire, k)
	})
}

// ListTanks lists the organization's tanks.
func (s *Server) ListTanks(ctx context.Context, r gen.ListTanksRequestObject) (gen.ListTanksResponseObject, error) {
	whose, filters := callOf(ctx).Organization, url.Values{}
	if r.Params.ExternalRef != nil {
		filters.Set("external_ref", *r.Params.ExternalRef)
	}
	k, err := newKeyset(whose, "/v1/tanks", filters, r.Params.Limit, r.Params.Cursor)
	if err != nil {
		return nil, err
	}
	after, err := k.afterID()
	if err != nil {
		return nil, err
	}
	var list []store.Tank
	err = s.read(ctx, func(tx *store.Tx) (err error) {
		if r.Params.ExternalRef != nil {
			list, err = tx.TanksOf(ctx, *r.Params.ExternalRef, after)
			return err
		}
		list, err = tx.Tanks(ctx, after, k.limit+1)
		return err
	})
	if err != nil {
		return nil, err
	}
	list, next, link := cut(&k, whose, list, func(t *store.Tank) string { return t.ID.String() })
	tanks, err := mappedAll(list, tankWire)
	if err != nil {
		return nil, err
	}
	return listed(gen.TanksPage{Tanks: tanks, Next: next}, link)
}

// GetTank answers with one tank.
func (s *Server) GetTank(ctx context.Context, r gen.GetTankRequestObject) (gen.GetTankResponseObject, error) {
	id, err := idOf(r.Tank)
	if err != nil {
		return nil, storeFault(err)
	}
	if s.cfg.Store == nil {
		return nil, errDatabaseAway
	}
	k, err := s.cfg.Store.Tank(ctx, callOf(ctx).Organization, id)
	if err != nil {
		return nil, storeFault(err)
	}
	return thing(k.Version, tankWire, k)
}

// ReplaceTank replaces what is stored of a tank.
func (s *Server) ReplaceTank(ctx context.Context, r gen.ReplaceTankRequestObject) (gen.ReplaceTankResponseObject, error) {
	k, _, err := s.readTank(r.Body, nil)
	if err != nil {
		return nil, err
	}
	return s.changeTank(ctx, r.Tank, r.Params.IfMatch, func(store.Tank) (store.Tank, error) { return k, nil })
}

// PatchTank changes what is stored of a tank.
func (s *Server) PatchTank(ctx context.Context, r gen.PatchTankRequestObject) (gen.PatchTankResponseObject, error) {
	return s.changeTank(ctx, r.Tank, r.Params.IfMatch, func(old store.Tank) (store.Tank, error) {
		now, err := tankWrite(old)
		if err != nil {
			return old, err
		}
		var patched gen.TankWrite
		if err := s.patch(now, *r.Body, "replaceTank", &patched); err != nil {
			return old, err
		}
		k, _, err := s.readTank(&patched, nil)
		return k, err
	})
}

func (s *Server) changeTank(ctx context.Context, id string, ifMatch *string, change func(store.Tank) (store.Tank, error)) (*reply, error) {
	tank, match, err := toChange(id, ifMatch)
	if err != nil {
		return nil, err
	}
	return s.write(ctx, func(tx *store.Tx) (*reply, error) {
		k, err := tx.ChangeTank(ctx, tank, match, change)
		if err != nil {
			return nil, err
		}
		return thing(k.Version, tankWire, k)
	})
}

// DeleteTank deletes a tank with all that is in it.
func (s *Server) DeleteTank(ctx context.Context, r gen.DeleteTankRequestObject) (gen.DeleteTankResponseObject, error) {
	tank, match, err := toChange(r.Tank, r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	return s.write(ctx, func(tx *store.Tx) (*reply, error) { return nothing(), tx.DeleteTank(ctx, tank, match) })
}

// readTank reads a tank and lines of residents that are to be stored, or tells of
// everything that is wrong with them.
func (s *Server) readTank(in *gen.TankWrite, residents []gen.LineInput) (k store.Tank, lines []store.Resident, err error) {
	sh, err := s.current()
	if err != nil {
		return k, nil, err
	}
	r := newListReader(sh.book.Snapshot)
	r.oneLine("/label", in.Label)
	r.oneLine("/external_ref", in.ExternalRef)
	r.tank(&in.Tank)
	for i := range residents {
		line, err := r.storable("/residents/"+strconv.Itoa(i), residents[i])
		if err != nil {
			return k, nil, err
		}
		lines = append(lines, line)
	}
	if err := r.err(); err != nil {
		return k, nil, err
	}
	k.Label, k.ExternalRef = in.Label, in.ExternalRef
	k.Description, err = encodeJSON(in.Tank)
	return k, lines, err
}

// oneLine refuses a text of more than one line, and one of nothing but blanks.
func (r *listReader) oneLine(pointer string, text *string) {
	if text != nil && !isLine(*text) {
		r.impossible(pointer, pointer+" is blank, or has a control character in it.", "write one line of text")
	}
}

// maxResidents is the most lines of residents that a tank may have: what a check takes.
const maxResidents = stocking.MaxLines

// madeThing answers 201 with a thing that has a version.
func madeThing[T, U any](at string, version int64, wire func(T) (U, error), of T) (*reply, error) {
	r, err := thing(version, wire, of)
	if err != nil {
		return nil, err
	}
	r.status, r.made, r.caching = http.StatusCreated, at, transient
	return r, nil
}

// thing answers with a thing that has a version.
func thing[T, U any](version int64, wire func(T) (U, error), of T) (*reply, error) {
	v, err := wire(of)
	if err != nil {
		return nil, err
	}
	r, err := jsonReply(v)
	if err != nil {
		return nil, err
	}
	r.etag, r.caching = versionTag(version), mine
	return r, nil
}
