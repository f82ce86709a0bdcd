package accounts

import (
	"context"
	"strings"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/transact"
	"commensal/api/wire"
	"commensal/internal/store"

	"github.com/google/uuid"
)

// CreateOrganization makes an organization.
func (s *Accounts) CreateOrganization(ctx context.Context, r gen.CreateOrganizationRequestObject) (gen.CreateOrganizationResponseObject, error) {
	name := strings.TrimSpace(r.Body.Name)
	if !wire.IsLine(name) {
		return nil, wire.NotALabel("/name")
	}
	return transact.Write(ctx, s.store, func(tx *store.Tx) (*respond.Reply, error) {
		o, err := tx.CreateOrganization(ctx, name)
		if err != nil {
			return nil, err
		}
		return respond.Created("", organizationWire(o))
	})
}

// ListOrganizations lists all organizations.
func (s *Accounts) ListOrganizations(ctx context.Context, r gen.ListOrganizationsRequestObject) (gen.ListOrganizationsResponseObject, error) {
	if s.store == nil {
		return nil, respond.ErrDatabaseAway
	}
	k, err := respond.NewKeyset(uuid.Nil, "/v1/organizations", nil, r.Params.Limit, r.Params.Cursor)
	if err != nil {
		return nil, err
	}
	after, err := k.AfterID()
	if err != nil {
		return nil, err
	}
	list, err := s.store.Organizations(ctx, after, k.Limit+1)
	if err != nil {
		return nil, respond.StoreFault(err)
	}
	list, next, link := respond.Cut(&k, uuid.Nil, list, func(o *store.Organization) string { return o.ID.String() })
	return respond.Listed(gen.OrganizationsPage{Organizations: wire.Mapped(list, organizationWire), Next: next}, link)
}

// EraseOrganizationData deletes everything that an organization has stored.
func (s *Accounts) EraseOrganizationData(ctx context.Context, r gen.EraseOrganizationDataRequestObject) (gen.EraseOrganizationDataResponseObject, error) {
	if s.store == nil {
		return nil, respond.ErrDatabaseAway
	}
	of, err := organizationOf(ctx, &r.Organization)
	if err != nil {
		return nil, respond.StoreFault(err)
	}
	if err := s.store.Erase(ctx, of); err != nil {
		return nil, respond.StoreFault(err)
	}
	return respond.NoContent(), nil
}

func organizationWire(o store.Organization) gen.Organization {
	return gen.Organization{Id: o.ID.String(), Name: o.Name, CreatedAt: o.CreatedAt.UTC()}
}
