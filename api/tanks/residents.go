package tanks

import (
	"context"

	"commensal/api/gen"
	"commensal/api/lists"
	"commensal/api/respond"
	"commensal/api/transact"
	"commensal/api/validate"
	"commensal/api/wire"
	"commensal/internal/stocking"
	"commensal/internal/store"

	"github.com/google/uuid"
)

// CreateResident adds a line of residents to a tank.
func (s *Tanks) CreateResident(ctx context.Context, r gen.CreateResidentRequestObject) (gen.CreateResidentResponseObject, error) {
	line, err := s.readResident(r.Body)
	if err != nil {
		return nil, err
	}
	tank, err := respond.ParseID(r.Tank)
	if err != nil {
		return nil, respond.StoreFault(err)
	}
	return transact.Write(ctx, s.store, func(tx *store.Tx) (*respond.Reply, error) {
		added, err := tx.AddResidents(ctx, tank, []store.Resident{line}, stocking.MaxLines)
		if err != nil {
			return nil, err
		}
		return respond.CreatedThing("/v1/tanks/"+r.Tank+"/residents/"+added[0].ID.String(), added[0].Version, residentWire, added[0])
	})
}

// ListResidents lists the lines of a tank.
func (s *Tanks) ListResidents(ctx context.Context, r gen.ListResidentsRequestObject) (gen.ListResidentsResponseObject, error) {
	whose := transact.CallOf(ctx).Organization
	tank, err := respond.ParseID(r.Tank)
	if err != nil {
		return nil, respond.StoreFault(err)
	}
	k, err := respond.NewKeyset(whose, "/v1/tanks/"+r.Tank+"/residents", nil, r.Params.Limit, r.Params.Cursor)
	if err != nil {
		return nil, err
	}
	after, err := k.AfterID()
	if err != nil {
		return nil, err
	}
	var list []store.Resident
	err = transact.Read(ctx, s.store, func(tx *store.Tx) (err error) {
		list, err = tx.Residents(ctx, tank, after, k.Limit+1)
		return err
	})
	if err != nil {
		return nil, err
	}
	list, next, link := respond.Cut(&k, whose, list, func(r *store.Resident) string { return r.ID.String() })
	lines, err := wire.MappedAll(list, residentWire)
	if err != nil {
		return nil, err
	}
	return respond.Listed(gen.ResidentsPage{Residents: lines, Next: next}, link)
}

// GetResident answers with one line of a tank.
func (s *Tanks) GetResident(ctx context.Context, r gen.GetResidentRequestObject) (gen.GetResidentResponseObject, error) {
	tank, id, err := residentOf(r.Tank, r.Resident)
	if err != nil {
		return nil, err
	}
	if s.store == nil {
		return nil, respond.ErrDatabaseAway
	}
	line, err := s.store.Resident(ctx, transact.CallOf(ctx).Organization, tank, id)
	if err != nil {
		return nil, respond.StoreFault(err)
	}
	return respond.Thing(line.Version, residentWire, line)
}

// ReplaceResident replaces a line.
func (s *Tanks) ReplaceResident(ctx context.Context, r gen.ReplaceResidentRequestObject) (gen.ReplaceResidentResponseObject, error) {
	line, err := s.readResident(r.Body)
	if err != nil {
		return nil, err
	}
	return s.changeResident(ctx, r.Tank, r.Resident, r.Params.IfMatch, func(store.Resident) (store.Resident, error) { return line, nil })
}

// PatchResident changes a line. An age that the patch does not name is still of the day
// it was given.
func (s *Tanks) PatchResident(ctx context.Context, r gen.PatchResidentRequestObject) (gen.PatchResidentResponseObject, error) {
	return s.changeResident(ctx, r.Tank, r.Resident, r.Params.IfMatch, func(old store.Resident) (store.Resident, error) {
		var now, patched gen.LineInput
		if err := wire.DecodeStored(old.Line, &now); err != nil {
			return old, err
		}
		if err := s.contract.Patch(now, *r.Body, "replaceResident", &patched); err != nil {
			return old, err
		}
		line, err := s.readResident(&patched)
		if !validate.Names(*r.Body, "age_months") {
			line.StatedAt = old.StatedAt
		}
		return line, err
	})
}

func (s *Tanks) changeResident(ctx context.Context, tank, resident string, ifMatch *string, change func(store.Resident) (store.Resident, error)) (*respond.Reply, error) {
	id, match, err := respond.Precondition(resident, ifMatch)
	if err != nil {
		return nil, err
	}
	in, err := respond.ParseID(tank)
	if err != nil {
		return nil, respond.StoreFault(err)
	}
	return transact.Write(ctx, s.store, func(tx *store.Tx) (*respond.Reply, error) {
		line, err := tx.ChangeResident(ctx, in, id, match, change)
		if err != nil {
			return nil, err
		}
		return respond.Thing(line.Version, residentWire, line)
	})
}

// DeleteResident deletes a line.
func (s *Tanks) DeleteResident(ctx context.Context, r gen.DeleteResidentRequestObject) (gen.DeleteResidentResponseObject, error) {
	id, match, err := respond.Precondition(r.Resident, r.Params.IfMatch)
	if err != nil {
		return nil, err
	}
	tank, err := respond.ParseID(r.Tank)
	if err != nil {
		return nil, respond.StoreFault(err)
	}
	return transact.Write(ctx, s.store, func(tx *store.Tx) (*respond.Reply, error) {
		return respond.NoContent(), tx.DeleteResident(ctx, tank, id, match)
	})
}

// residentOf reads the ids of a tank and of a line in it.
func residentOf(tank, resident string) (tankID, id uuid.UUID, err error) {
	if tankID, err = respond.ParseID(tank); err == nil {
		id, err = respond.ParseID(resident)
	}
	return tankID, id, respond.StoreFault(err)
}

// readResident reads a line that is to be stored, or tells of all that is wrong with it.
func (s *Tanks) readResident(in *gen.LineInput) (line store.Resident, err error) {
	book, err := s.books.Book()
	if err != nil {
		return line, err
	}
	r := lists.NewReader(book.Snapshot)
	line, err = storable(r, "", *in)
	if err != nil {
		return line, err
	}
	return line, r.Err()
}

// storable is a line with its species by id, which catalogues to come do not change.
func storable(r *lists.Reader, at string, in gen.LineInput) (line store.Resident, err error) {
	l := r.Line(at, &in)
	if l.Index < 0 {
		return line, nil // the reader tells of it
	}
	in.Species = string(r.Snap.At(l.Index).ID)
	line.Species = in.Species
	line.Line, err = respond.EncodeJSON(in)
	return line, err
}
