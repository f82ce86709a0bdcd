package accounts

import (
	"context"
	"strings"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/transact"
	"commensal/api/validate"
	"commensal/api/wire"
	"commensal/internal/store"

	"github.com/labstack/echo/v4"
)

// GetOrganization answers with one organization.
func (s *Accounts) GetOrganization(c echo.Context, organizationID string) error {
	var o store.Organization
	err := s.readOf(c, &organizationID, func(ctx context.Context, tx *store.Tx) (err error) {
		o, err = tx.OrganizationItself(ctx)
		return err
	})
	if err != nil {
		return err
	}
	return respond.To(c).Send(respond.JSON(organizationWire(o)))
}

// readOf reads what belongs to an organization that the caller may see.
func (s *Accounts) readOf(c echo.Context, organizationID *string, read func(context.Context, *store.Tx) error) error {
	if s.store == nil {
		return respond.ErrDatabaseAway
	}
	of, err := organizationOf(c, organizationID)
	if err != nil {
		return respond.StoreFault(err)
	}
	ctx := c.Request().Context()
	if err := s.store.Read(ctx, of, func(tx *store.Tx) error { return read(ctx, tx) }); err != nil {
		return respond.StoreFault(err)
	}
	return nil
}

// SetRegion says where an organization is.
func (s *Accounts) SetRegion(c echo.Context, organizationID string) error {
	in, err := validate.Body[gen.OrganizationRegion](c)
	if err != nil {
		return err
	}
	region, err := regionOf(in.Region)
	if err != nil {
		return err
	}
	of, err := organizationOf(c, &organizationID)
	if err != nil {
		return respond.StoreFault(err)
	}
	ctx := c.Request().Context()
	answer, err := transact.Write(c, s.store, func(tx *store.Tx) (*respond.Reply, error) {
		back, err := tx.ActFor(ctx, of)
		if err != nil {
			return nil, err
		}
		o, err := tx.SetRegion(ctx, region)
		if err != nil {
			return nil, err
		}
		if err := back(); err != nil {
			return nil, err
		}
		return respond.JSON(organizationWire(o))
	})
	if err == nil {
		s.verifier.ForgetOrganization(of) // this replica judges by it from now on
	}
	return respond.To(c).Send(answer, err)
}

// regionOf reads a region as it is stored: one line of text without blanks around it; nil for none.
func regionOf(in *gen.Region) (*string, error) {
	if in == nil {
		return nil, nil
	}
	region := strings.TrimSpace(*in)
	if !wire.IsLine(region) || len([]rune(region)) < 2 {
		return nil, wire.NotALabel("/region")
	}
	return &region, nil
}
