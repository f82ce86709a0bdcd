package api

import (
	"context"

	"commensal/api/gen"
	"commensal/internal/store"

	"github.com/google/uuid"
)

// CreateResident adds a line of residents to a tank.
func (s *Server) CreateResident(ctx context.Context, r gen.CreateResidentRequestObject) (gen.CreateResidentResponseObject, error) {
	line, err := s.readResident(r.Body)
	if err != nil {
		return nil, err
	}
	tank, err := idOf(r.Tank)
	if err != nil {
		return nil, storeFault(err)
	}
	return s.write(ctx, func(tx *store.Tx) (*reply, error) {
		added, err := tx.AddResidents(ctx, tank, []store.Resident{line}, maxResidents)
		if err != nil {
			return nil, err
		}
		return madeThing("/v1/tanks/"+r.Tank+"/residents/"+added[0].ID.String(), added[0].Version, residentWire, added[0])
	})
}

// ListResidents lists the lines of a tank.
func (s *Server) ListResidents(ctx context.Context, r gen.ListResidentsRequestObject) (gen.ListResidentsResponseObject, error) {
	whose := callOf(ctx).Organization
	tank, err := idOf(r.Tank)
	if err != nil {
		return nil, storeFault(err)
	}
	k, err := newKeyset(whose, "/v1/tanks/"+r.Tank+"/residents", nil, r.Params.Limit, r.Params.Cursor)
	if err != nil {
		return nil, err
	}
	after, err := k.afterID()
	if err != nil {
		return nil, err
	}
	var list []store.Resident
	err = s.read(ctx, func(tx *store.Tx) (err error) {
		list, err = tx.Residents(ctx, tank, after, k.limit+1)
		return err
	})
	if err != nil {
		return nil, err
	}
	list, next, link := cut(&k, whose, list, func(r *store.Resident) string { return r.ID.String() })
	lines, err := mappedAll(list, residentWire)
	if err != nil {
		return nil, err
	}
	return listed(gen.ResidentsPage{Residents: lines, Next: next}, link)
}

// GetResident answers with one line of a tank.
func (s *Server) GetResident(ctx context.Context, r gen.GetResidentRequestObject) (gen.GetResidentResponseObject, error) {
	tank, id, err := residentOf(r.Tank, r.Resident)
	if err != nil {
		return nil, err
	}
	if s.cfg.Store == nil {
		return nil, errDatabaseAway
	}
	line, err := s.cfg.Store.Resident(ctx, callOf(ctx).Organization, tank, id)
	if err != nil {
		return nil, storeFault(err)
	}
	return thing(line.Version, residentWire, line)
}

// ReplaceResident replaces a line.
func (s *Server) ReplaceResident(ctx context.Context, r gen.ReplaceResidentRequestObject) (gen.ReplaceResidentResponseObject, error) {
	line, err := s.readResident(r.Body)
	if err != nil {
		return nil, err
	}
	return s.changeResident(ctx, r.Tank, r.Resident, r.Params.IfMatch, func(store.Resident) (store.Resident, error) { return line, nil })
}

// PatchResident changes a line. An age that the patch does not name is still of the day
// it was given.
func (s *Server) PatchResident(ctx context.Context, r gen.PatchResidentRequestObject) (gen.PatchResidentResponseObject, error) {
	return s.changeResident(ctx, r.Tank, r.Resident, r.Params.IfMatch, func(old store.Resident) (store.Resident, error) {
		var now, patched gen.LineInput
		if err := decodeStored(old.Line, &now); err != nil {
			return old, err
		}
		if err := s.patch(now, *r.Body, "replaceResident", &patched); err != nil {
			return old, err
		}
		line, err := s.readResident(&patched)
		if !names(*r.Body, "age_months") {
			line.StatedAt = old.StatedAt
		}
		return line, err
	})
}

func (s *Server) changeResident(ctx context.Context, tank, resident string, ifMatch *string, change func(store.Resident) (store.Resident, error)) (*reply, error) {
	id, match, err := toChange(resident, ifMatch)
	if err != nil {
		return nil, err
	}
	in, err := idOf(tank)
	if err != nil {
		return nil, storeFault(err)
	}
	return s.write(ctx, func(tx *store.Tx) (*reply, error) {
		line, err := tx.ChangeResident(ctx, in, id, match, change)
		if err != nil {
			return nil, err
		}
		return thing(line.Version, residentWire, line)
	})
}

// DeleteResident deletes a line.
func (s *Server) DeleteResident(ctx context.Context, r gen.DeleteResidentRequestObject) (gen.DeleteResidentResponseObject, error) {
	id, match, err := toChange(r.Resident, r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	tank, err := idOf(r.Tank)
	if err != nil {
		return nil, storeFault(err)
	}
	return s.write(ctx, func(tx *store.Tx) (*reply, error) { return nothing(), tx.DeleteResident(ctx, tank, id, match) })
}

// residentOf reads the ids of a tank and of a line in it.
func residentOf(tank, resident string) (tankID, id uuid.UUID, err error) {
	if tankID, err = idOf(tank); err == nil {
		id, err = idOf(resident)
	}
	return tankID, id, storeFault(err)
}

// readResident reads a line that is to be stored, or tells of all that is wrong with it.
func (s *Server) readResident(in *gen.LineInput) (line store.Resident, err error) {
	sh, err := s.current()
	if err != nil {
		return line, err
	}
	r := newListReader(sh.book.Snapshot)
	line, err = r.storable("", *in)
	if err != nil {
		return line, err
	}
	return line, r.err()
}

// storable is a line with its species by id, which catalogues to come do not change.
func (r *listReader) storable(at string, in gen.LineInput) (line store.Resident, err error) {
	l := r.line(at, &in)
	if l.Index < 0 {
		return line, nil // the reader tells of it
	}
	in.Species = string(r.snap.At(l.Index).ID)
	line.Species = in.Species
	line.Line, err = encodeJSON(in)
	return line, err
}
