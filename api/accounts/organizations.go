package accounts

import (
	"strings"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/transact"
	"commensal/api/validate"
	"commensal/api/wire"
	"commensal/internal/species/law"
	"commensal/internal/store"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"
)

// CreateOrganization makes an organization.
func (s *Accounts) CreateOrganization(c echo.Context, p gen.CreateOrganizationParams) error {
	ctx := c.Request().Context()
	in, err := validate.Body[gen.OrganizationWrite](c)
	if err != nil {
		return err
	}
	name := strings.TrimSpace(in.Name)
	if !wire.IsLine(name) {
		return wire.NotALabel("/name")
	}
	region, err := regionOf(in.Region)
	if err != nil {
		return err
	}
	return respond.To(c).Send(transact.Write(c, s.store, func(tx *store.Tx) (*respond.Reply, error) {
		o, err := tx.CreateOrganization(ctx, name, region)
		if err != nil {
			return nil, err
		}
		return respond.Created("", organizationWire(o))
	}))
}

// ListOrganizations lists all organizations.
func (s *Accounts) ListOrganizations(c echo.Context, p gen.ListOrganizationsParams) error {
	ctx := c.Request().Context()
	if s.store == nil {
		return respond.ErrDatabaseAway
	}
	k, err := respond.NewKeyset(uuid.Nil, "/v1/organizations", nil, p.Limit, p.Cursor)
	if err != nil {
		return err
	}
	after, err := k.AfterID()
	if err != nil {
		return err
	}
	list, err := s.store.Organizations(ctx, after, k.Limit+1)
	if err != nil {
		return respond.StoreFault(err)
	}
	list, next, link := respond.Cut(&k, uuid.Nil, list, func(o *store.Organization) string { return o.ID.String() })
	return respond.To(c).Send(respond.Listed(gen.OrganizationsPage{Organizations: wire.Mapped(list, organizationWire), Next: next}, link))
}

// EraseOrganizationData deletes everything that an organization has stored.
func (s *Accounts) EraseOrganizationData(c echo.Context, organizationID string) error {
	ctx := c.Request().Context()
	if s.store == nil {
		return respond.ErrDatabaseAway
	}
	of, err := organizationOf(c, &organizationID)
	if err != nil {
		return respond.StoreFault(err)
	}
	if err := s.store.Erase(ctx, of); err != nil {
		return respond.StoreFault(err)
	}
	return respond.To(c).Send(respond.NoContent(), nil)
}

func organizationWire(o store.Organization) gen.Organization {
	out := gen.Organization{Id: o.ID.String(), Name: o.Name, Region: o.Region, CreatedAt: o.CreatedAt.UTC()}
	if o.Region != nil {
		known := law.PlaceOf(*o.Region).Known()
		out.RulesOnRecord = &known
	}
	return out
}
