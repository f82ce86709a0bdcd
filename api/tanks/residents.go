package tanks

import (
	"commensal/api/gen"
	"commensal/api/lists"
	"commensal/api/respond"
	"commensal/api/transact"
	"commensal/api/validate"
	"commensal/api/wire"
	"commensal/internal/stocking"
	"commensal/internal/store"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"
)

// AddResident adds a line of residents to a tank.
func (s *Tanks) AddResident(c echo.Context, tankID string, p gen.AddResidentParams) error {
	ctx := c.Request().Context()
	in, err := validate.Body[gen.LineInput](c)
	if err != nil {
		return err
	}
	if _, err := s.lists.NameArticles(c, []lists.SpokenLine{{Line: in}}); err != nil {
		return err
	}
	line, err := s.readResident(in)
	if err != nil {
		return err
	}
	return respond.To(c).Send(s.write(c, tankID, func(tx *store.Tx, tank uuid.UUID) (*respond.Reply, error) {
		added, err := tx.AddResidents(ctx, tank, []store.Resident{line}, stocking.MaxLines)
		if err != nil {
			return nil, err
		}
		return respond.CreatedThing("/v1/tanks/"+tankID+"/residents/"+added[0].ID.String(), added[0].Version, residentWire, added[0])
	}))
}

// ListResidents lists the lines of a tank.
func (s *Tanks) ListResidents(c echo.Context, tankID string, p gen.ListResidentsParams) error {
	list, next, link, err := page(s, c, tankID, "residents", p.Limit, p.Cursor, func(k *respond.Keyset) (read[store.Resident], error) {
		after, err := k.AfterID()
		return func(tx *store.Tx, tank uuid.UUID) ([]store.Resident, error) {
			return tx.Residents(c.Request().Context(), tank, after, k.Limit+1)
		}, err
	}, func(r *store.Resident) string { return r.ID.String() })
	if err != nil {
		return err
	}
	lines, err := wire.MappedAll(list, residentWire)
	if err != nil {
		return err
	}
	return respond.To(c).Send(respond.Listed(gen.ResidentsPage{Residents: lines, Next: next}, link))
}

// GetResident answers with one line of a tank.
func (s *Tanks) GetResident(c echo.Context, tankID string, residentID string) error {
	ctx := c.Request().Context()
	tank, id, err := residentOf(tankID, residentID)
	if err != nil {
		return err
	}
	if s.store == nil {
		return respond.ErrDatabaseAway
	}
	line, err := s.store.Resident(ctx, transact.Who(c).Organization, tank, id)
	if err != nil {
		return respond.StoreFault(err)
	}
	return respond.To(c).Send(respond.Thing(line.Version, residentWire, line))
}

// ReplaceResident replaces a line.
func (s *Tanks) ReplaceResident(c echo.Context, tankID string, residentID string, p gen.ReplaceResidentParams) error {
	in, err := validate.Body[gen.LineInput](c)
	if err != nil {
		return err
	}
	if _, err := s.lists.NameArticles(c, []lists.SpokenLine{{Line: in}}); err != nil {
		return err
	}
	line, err := s.readResident(in)
	if err != nil {
		return err
	}
	return respond.To(c).Send(s.changeResident(c, tankID, residentID, p.IfMatch, func(store.Resident) (store.Resident, error) { return line, nil }))
}

// PatchResident changes a line. An age that the patch does not name is still of the day
// it was given.
func (s *Tanks) PatchResident(c echo.Context, tankID string, residentID string, p gen.PatchResidentParams) error {
	in, err := validate.Body[gen.MergePatch](c)
	if err != nil {
		return err
	}
	name, err := s.lists.ArticleText(c, validate.TextOf(*in, "article"))
	if err != nil {
		return err
	}
	return respond.To(c).Send(s.changeResident(c, tankID, residentID, p.IfMatch, func(old store.Resident) (store.Resident, error) {
		var now, patched gen.LineInput
		if err := wire.DecodeStored(old.Line, &now); err != nil {
			return old, err
		}
		if err := s.contract.Patch(now, *in, "replaceResident", &patched); err != nil {
			return old, err
		}
		if err := name(&patched); err != nil {
			return old, err
		}
		line, err := s.readResident(&patched)
		if !validate.Names(*in, "age_months") {
			line.StatedAt = old.StatedAt
		}
		return line, err
	}))
}

func (s *Tanks) changeResident(c echo.Context, tank, resident string, ifMatch *string, change func(store.Resident) (store.Resident, error)) (*respond.Reply, error) {
	id, match, err := respond.Precondition(resident, ifMatch)
	if err != nil {
		return nil, err
	}
	ctx := c.Request().Context()
	return s.write(c, tank, func(tx *store.Tx, in uuid.UUID) (*respond.Reply, error) {
		line, err := tx.ChangeResident(ctx, in, id, match, change)
		if err != nil {
			return nil, err
		}
		return respond.Thing(line.Version, residentWire, line)
	})
}

// DeleteResident deletes a line.
func (s *Tanks) DeleteResident(c echo.Context, tankID string, residentID string, p gen.DeleteResidentParams) error {
	ctx := c.Request().Context()
	id, match, err := respond.Precondition(residentID, p.IfMatch)
	if err != nil {
		return err
	}
	return respond.To(c).Send(s.write(c, tankID, func(tx *store.Tx, tank uuid.UUID) (*respond.Reply, error) {
		return respond.NoContent(), tx.DeleteResident(ctx, tank, id, match)
	}))
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
	in.Species, in.Article = string(r.Snap.At(l.Index).ID), nil // what an article is may be another thing tomorrow
	line.Species = in.Species
	line.Line, err = respond.EncodeJSON(in)
	return line, err
}
