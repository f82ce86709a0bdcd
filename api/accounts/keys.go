package accounts

import (
	"context"
	"net/url"
	"strconv"

	"commensal/api/gen"
	"commensal/api/middleware"
	"commensal/api/respond"
	"commensal/api/transact"
	"commensal/api/validate"
	"commensal/api/wire"
	"commensal/internal/auth"
	"commensal/internal/store"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"
)

// CreateKey makes a key of the caller's organization, or of another's for an admin.
func (s *Accounts) CreateKey(c echo.Context, p gen.CreateKeyParams) error {
	ctx := c.Request().Context()
	in, err := validate.Body[gen.KeyWrite](c)
	if err != nil {
		return err
	}
	k, err := s.readKey(transact.Who(c), in)
	if err != nil {
		return err
	}
	of, err := organizationOf(c, in.Organization)
	if err != nil {
		return respond.StoreFault(err)
	}
	text, id, hash := auth.NewText()
	k.ID, k.Hash = id, hash
	return respond.To(c).Send(transact.Write(c, s.store, func(tx *store.Tx) (*respond.Reply, error) {
		stored, err := createKeyOf(ctx, tx, of, k)
		if err != nil {
			return nil, err
		}
		return newKeyReply(stored, text)
	}))
}

// createKeyOf stores a key of an organization, which an admin may have made up.
func createKeyOf(ctx context.Context, tx *store.Tx, of uuid.UUID, k auth.Key) (auth.Key, error) {
	back, err := tx.ActFor(ctx, of)
	if err != nil {
		return k, err
	}
	if err := tx.HasOrganization(ctx); err != nil {
		return k, err
	}
	if k, err = tx.CreateKey(ctx, k); err != nil {
		return k, err
	}
	return k, back()
}

// newKeyReply shows the text of a key, this once: a repeat does without, for nothing that
// would open the door is stored.
func newKeyReply(k auth.Key, text string) (*respond.Reply, error) {
	out := gen.NewKey{Key: keyWire(k)}
	repeat, err := respond.EncodeJSON(out)
	if err != nil {
		return nil, err
	}
	out.Text = &text
	r, err := respond.Created("", out)
	if err != nil {
		return nil, err
	}
	r.Repeat = repeat
	return r, nil
}

// grants says whether the caller may give a scope to a key: an admin any, all others those that
// their own key has, but none that reaches beyond an organization.
func grants(c *auth.Principal, scope auth.Scope) error {
	switch {
	case c.May(auth.Admin):
		return nil
	case scope.BeyondOrganization():
		return middleware.NotPermitted([]auth.Scope{auth.Admin})
	case !c.May(scope):
		return middleware.NotPermitted([]auth.Scope{scope, auth.Admin})
	}
	return nil
}

// readKey reads what a new key is to be, and whether the caller may grant that.
func (s *Accounts) readKey(who *auth.Principal, in *gen.KeyWrite) (k auth.Key, err error) {
	k.Label = wire.Value(in.Label)
	if validate.NotText(k.Label) != "" {
		return k, wire.NotALabel("/label")
	}
	found := respond.Faults{Malformed: respond.MalformedBody}
	seen := map[gen.Scope]bool{}
	for i, scope := range in.Scopes {
		if err := grants(who, auth.Scope(scope)); err != nil {
			return k, err
		}
		if seen[scope] {
			at := "/scopes/" + strconv.Itoa(i)
			found.Impossible = append(found.Impossible, respond.AtField(gen.Body, at, at+" is on the list already.", "leave it out"))
		}
		seen[scope] = true
		k.Scopes = append(k.Scopes, auth.Scope(scope))
	}
	if in.ExpiresAt == nil && s.keyLife > 0 {
		k.ExpiresAt = s.now().Add(s.keyLife)
	}
	if in.ExpiresAt != nil {
		if k.ExpiresAt = *wire.Begin(in.ExpiresAt); !k.ExpiresAt.After(s.now()) {
			found.Impossible = append(found.Impossible, respond.AtField(gen.Body, "/expires_at", "/expires_at is in the past.", "name a time to come"))
		}
	}
	return k, found.Err()
}

// organizationOf is the organization that a request is about: the one it names, or the
// caller's. Another than the caller's is for an admin; for all others it does not exist.
func organizationOf(c echo.Context, named *string) (uuid.UUID, error) {
	who := transact.Who(c)
	if named == nil {
		return who.Organization, nil
	}
	id, err := respond.ParseID(*named)
	if err != nil || id != who.Organization && !who.May(auth.Admin) {
		return uuid.Nil, store.ErrNotFound
	}
	return id, nil
}

// actFor runs a handler's part for the organization that a request is about.
func (s *Accounts) actFor(c echo.Context, named *string, run func(context.Context, uuid.UUID, func(*store.Tx) error) error, do func(*store.Tx) error) error {
	ctx := c.Request().Context()
	of, err := organizationOf(c, named)
	if err != nil {
		return respond.StoreFault(err)
	}
	return respond.StoreFault(run(ctx, of, func(tx *store.Tx) error {
		if err := tx.HasOrganization(ctx); err != nil {
			return err
		}
		return do(tx)
	}))
}

// ListKeys lists the keys of an organization.
func (s *Accounts) ListKeys(c echo.Context, p gen.ListKeysParams) error {
	ctx := c.Request().Context()
	if s.store == nil {
		return respond.ErrDatabaseAway
	}
	whose, filters := transact.Who(c).Organization, url.Values{}
	if p.Organization != nil {
		filters.Set("organization", *p.Organization)
	}
	k, err := respond.NewKeyset(whose, "/v1/keys", filters, p.Limit, p.Cursor)
	if err != nil {
		return err
	}
	var list []auth.Key
	err = s.actFor(c, p.Organization, s.store.Read, func(tx *store.Tx) (err error) {
		list, err = tx.Keys(ctx, k.Place, k.Limit+1)
		return err
	})
	if err != nil {
		return err
	}
	list, next, link := respond.Cut(&k, whose, list, func(k *auth.Key) string { return k.ID })
	return respond.To(c).Send(respond.Listed(gen.KeysPage{Keys: wire.Mapped(list, keyWire), Next: next}, link))
}

// RevokeKey makes a key useless.
func (s *Accounts) RevokeKey(c echo.Context, keyID string, p gen.RevokeKeyParams) error {
	ctx := c.Request().Context()
	if s.store == nil {
		return respond.ErrDatabaseAway
	}
	err := s.actFor(c, p.Organization, s.store.Write, func(tx *store.Tx) error { return tx.RevokeKey(ctx, keyID) })
	if err != nil {
		return err
	}
	s.verifier.Forget(keyID)
	return respond.To(c).Send(respond.NoContent(), nil)
}

func keyWire(k auth.Key) gen.Key {
	return gen.Key{
		Id: k.ID, Organization: k.Organization.String(), Label: k.Label, CreatedAt: k.CreatedAt.UTC(),
		Scopes:    wire.Mapped(k.Scopes, func(s auth.Scope) gen.Scope { return gen.Scope(s) }),
		ExpiresAt: wire.Instant(k.ExpiresAt), RevokedAt: wire.Instant(k.RevokedAt), LastUsedAt: wire.Instant(k.LastUsedAt),
	}
}
