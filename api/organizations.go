package api

import (
	"context"
	"net/http"
	"strings"

	"commensal/api/gen"
	"commensal/internal/store"

	"github.com/google/uuid"
)

// CreateOrganization makes an organization.
func (s *Server) CreateOrganization(ctx context.Context, r gen.CreateOrganizationRequestObject) (gen.CreateOrganizationResponseObject, error) {
	name := strings.TrimSpace(r.Body.Name)
	if !isLine(name) {
		return nil, notALabel("/name")
	}
	return s.write(ctx, func(tx *store.Tx) (*reply, error) {
		o, err := tx.CreateOrganization(ctx, name)
		if err != nil {
			return nil, err
		}
		return made("", organizationWire(o))
	})
}

// ListOrganizations lists all organizations.
func (s *Server) ListOrganizations(ctx context.Context, r gen.ListOrganizationsRequestObject) (gen.ListOrganizationsResponseObject, error) {
	if s.cfg.Store == nil {
		return nil, errDatabaseAway
	}
	k, err := newKeyset(uuid.Nil, "/v1/organizations", nil, r.Params.Limit, r.Params.Cursor)
	if err != nil {
		return nil, err
	}
	after, err := k.afterID()
	if err != nil {
		return nil, err
	}
	list, err := s.cfg.Store.Organizations(ctx, after, k.limit+1)
	if err != nil {
		return nil, storeFault(err)
	}
	list, next, link := cut(&k, uuid.Nil, list, func(o *store.Organization) string { return o.ID.String() })
	return listed(gen.OrganizationsPage{Organizations: mapped(list, organizationWire), Next: next}, link)
}

// EraseOrganizationData deletes everything that an organization has stored.
func (s *Server) EraseOrganizationData(ctx context.Context, r gen.EraseOrganizationDataRequestObject) (gen.EraseOrganizationDataResponseObject, error) {
	if s.cfg.Store == nil {
		return nil, errDatabaseAway
	}
	of, err := organizationOf(ctx, &r.Organization)
	if err != nil {
		return nil, storeFault(err)
	}
	if err := s.cfg.Store.Erase(ctx, of); err != nil {
		return nil, storeFault(err)
	}
	return nothing(), nil
}

func organizationWire(o store.Organization) gen.Organization {
	return gen.Organization{Id: o.ID.String(), Name: o.Name, CreatedAt: o.CreatedAt.UTC()}
}

// isLine reports whether a text is one line with something in it.
func isLine(text string) bool { return strings.TrimSpace(text) != "" && notText(text) == "" }

// notALabel refuses a text that is blank or of more than one line.
func notALabel(pointer string) error {
	detail := pointer + " is blank, or has a control character in it."
	return &fault{slug: impossibleValue, detail: detail, fields: fields(atField(gen.Body, pointer, detail, "write one line of text"))}
}

// made answers 201 with what was made and where it is; "" where it has no path.
func made(at string, value any) (*reply, error) {
	r, err := jsonReply(value)
	if err != nil {
		return nil, err
	}
	r.status, r.made = http.StatusCreated, at
	return r, nil
}

// listed answers with a page of a list.
func listed(value any, link string) (*reply, error) {
	r, err := jsonReply(value)
	if err != nil {
		return nil, err
	}
	r.link = link
	return r, nil
}

// nothing answers 204.
func nothing() *reply { return &reply{status: http.StatusNoContent} }

// mapped applies a function to each entry of a list; an empty list is [] on the wire.
func mapped[T, U any](list []T, f func(T) U) []U {
	out := make([]U, len(list))
	for i, x := range list {
		out[i] = f(x)
	}
	return out
}
