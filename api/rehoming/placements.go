package rehoming

import (
	"context"
	"encoding/json"

	"commensal/api/gen"
	"commensal/api/lists"
	"commensal/api/respond"
	"commensal/api/transact"
	"commensal/api/wire"
	"commensal/internal/store"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"
)

// Keep stores placements as a proposal that can be accepted.
func (s *Rehoming) Keep(c echo.Context, p *lists.Proposal) (*respond.Reply, error) {
	made, err := proposalOf(p)
	if err != nil {
		return nil, err
	}
	made.Key = transact.Who(c).Key
	return transact.Write(c, s.store, func(tx *store.Tx) (*respond.Reply, error) {
		made, err := tx.CreatePlacement(c.Request().Context(), made)
		if err != nil {
			return nil, err
		}
		return respond.CreatedThing(placementPath(made.ID), versionOf(&made), placementWire, made)
	})
}

func placementPath(id uuid.UUID) string { return "/v1/placements/" + id.String() }

// versionOf tells the states of a proposal apart: acceptances are all that ever changes.
func versionOf(p *store.Placement) int64 { return int64(1 + len(p.Acceptances)) }

// proposalOf is what is to be stored of placements. The lines keep the kinds that their names meant, and
// the numbers that were taken for granted.
func proposalOf(p *lists.Proposal) (out store.Placement, err error) {
	var answer gen.Placements
	if err := json.Unmarshal(p.Answer, &answer); err != nil {
		return out, err
	}
	for i := range p.Asked.Incoming {
		l, understood := &p.Asked.Incoming[i], &answer.Incoming[i]
		count := float64(understood.Count)
		l.Species, l.Count = understood.Species.Id, &count
	}
	out = store.Placement{ExternalRef: p.Asked.StoreRef, Summary: p.Summary, Revision: p.Revision, Model: p.Model, Answer: p.Answer}
	takes := map[int]bool{}
	for _, tank := range p.Tanks {
		takes[tank] = true
	}
	for _, k := range p.Stored {
		if takes[k.Position] {
			out.Tanks = append(out.Tanks, store.PlacementTank{Position: k.Position, Tank: k.ID, Version: k.Version, Revision: k.Revision})
		}
	}
	out.Input, err = respond.EncodeJSON(p.Asked)
	return out, err
}

// GetPlacement answers with a proposal.
func (s *Rehoming) GetPlacement(c echo.Context, placementID string) error {
	p, err := s.placement(c, placementID)
	if err != nil {
		return err
	}
	return respond.To(c).Send(respond.Thing(versionOf(&p), placementWire, p))
}

func (s *Rehoming) placement(c echo.Context, text string) (p store.Placement, err error) {
	id, err := respond.ParseID(text)
	if err != nil {
		return p, respond.StoreFault(err)
	}
	if s.store == nil {
		return p, respond.ErrDatabaseAway
	}
	p, err = s.store.Placement(c.Request().Context(), transact.Who(c).Organization, id)
	return p, respond.StoreFault(err)
}

// ListPlacements lists the organization's proposals.
func (s *Rehoming) ListPlacements(c echo.Context, p gen.ListPlacementsParams) error {
	whose := transact.Who(c).Organization
	k, err := respond.NewKeyset(whose, "/v1/placements", nil, p.Limit, p.Cursor)
	if err != nil {
		return err
	}
	before, id, err := k.BeforeMoment()
	if err != nil {
		return err
	}
	var list []store.Placement
	err = transact.ReadAnywhere(c, s.store, func(tx *store.Tx) (err error) {
		list, err = tx.Placements(c.Request().Context(), before, id, k.Limit+1)
		return err
	})
	if err != nil {
		return err
	}
	list, next, link := respond.Cut(&k, whose, list, func(p *store.Placement) string { return respond.MomentPlace(p.MadeAt, p.ID) })
	return respond.To(c).Send(respond.Listed(gen.PlacementsPage{Placements: wire.Mapped(list, proposedWire), Next: next}, link))
}

// DeletePlacement deletes a proposal.
func (s *Rehoming) DeletePlacement(c echo.Context, placementID string) error {
	id, err := respond.ParseID(placementID)
	if err != nil {
		return respond.StoreFault(err)
	}
	return respond.To(c).Send(transact.Write(c, s.store, func(tx *store.Tx) (*respond.Reply, error) {
		return respond.NoContent(), tx.DeletePlacement(c.Request().Context(), id)
	}))
}

// proposedWire is a proposal without what was asked and answered.
func proposedWire(p store.Placement) gen.ProposedPlacement {
	return gen.ProposedPlacement{Id: p.ID.String(), MadeAt: p.MadeAt.UTC(), Key: p.Key, StoreRef: p.ExternalRef, Summary: p.Summary,
		CatalogueRevision: p.Revision, ModelVersion: p.Model, Tanks: wire.Mapped(p.Tanks, proposedTank), Acceptances: wire.Mapped(p.Acceptances, acceptanceWire)}
}

func proposedTank(t store.PlacementTank) gen.ProposedTank {
	return gen.ProposedTank{Tank: t.Position, Id: t.Tank.String()}
}

func acceptanceWire(a store.PlacementAcceptance) gen.PlacementAcceptance {
	return gen.PlacementAcceptance{Arrival: a.Arrival, Tank: a.Tank.String(), Key: a.Key, AcceptedAt: a.AcceptedAt.UTC()}
}

// placementWire is a whole proposal; input and answer go out to the letter.
func placementWire(p store.Placement) (gen.StoredPlacement, error) {
	plan, err := planOf(&p)
	if err != nil {
		return gen.StoredPlacement{}, err
	}
	head := proposedWire(p)
	return gen.StoredPlacement{Id: head.Id, MadeAt: head.MadeAt, Key: head.Key, StoreRef: head.StoreRef, Summary: head.Summary,
		CatalogueRevision: head.CatalogueRevision, ModelVersion: head.ModelVersion, Tanks: head.Tanks, Acceptances: head.Acceptances,
		Open: plan.open(), Input: p.Input, Answer: p.Answer}, nil
}

// plan is a stored proposal, read.
type plan struct {
	*store.Placement
	input    gen.PlacementsRequest
	answer   gen.Placements
	tanks    map[int]store.PlacementTank // by position in the request
	accepted map[int]bool                // arrivals
}

func planOf(p *store.Placement) (*plan, error) {
	out := &plan{Placement: p, tanks: map[int]store.PlacementTank{}, accepted: map[int]bool{}}
	if err := wire.DecodeStored(p.Input, &out.input); err != nil {
		return nil, err
	}
	if err := wire.DecodeStored(p.Answer, &out.answer); err != nil {
		return nil, err
	}
	for _, t := range p.Tanks {
		out.tanks[t.Position] = t
	}
	for _, a := range p.Acceptances {
		out.accepted[a.Arrival] = true
	}
	return out, nil
}

// open are the arrivals that have a place in a stored tank and are not accepted yet.
func (p *plan) open() []int {
	out := []int{}
	for i := range p.answer.Arrivals {
		if _, stored := p.home(i); stored && !p.accepted[i] {
			out = append(out, i)
		}
	}
	return out
}

// home is the stored tank that an arrival goes to; ok is false for none.
func (p *plan) home(arrival int) (t store.PlacementTank, ok bool) {
	if at := p.answer.Arrivals[arrival].Tank; at != nil {
		t, ok = p.tanks[*at]
	}
	return t, ok
}

// stocks reads the tanks of a proposal as they are, by id; those that are gone are left out.
func (s *Rehoming) stocks(ctx context.Context, organization uuid.UUID, ids []uuid.UUID, most int) (map[uuid.UUID]store.Stock, error) {
	list, err := s.store.Stocks(ctx, organization, ids, most)
	if err != nil {
		return nil, respond.StoreFault(err)
	}
	out := map[uuid.UUID]store.Stock{}
	for i := range list {
		if list[i].Tank.ID != uuid.Nil {
			out[list[i].Tank.ID] = list[i]
		}
	}
	return out, nil
}
