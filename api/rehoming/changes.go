package rehoming

import (
	"net/url"
	"strconv"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/transact"
	"commensal/api/wire"
	"commensal/internal/store"

	"github.com/labstack/echo/v4"
)

// ListTankChanges lists the tanks of which something else is decided by now. It reads what the screening found, and
// judges nothing.
func (s *Rehoming) ListTankChanges(c echo.Context, p gen.ListTankChangesParams) error {
	book, err := s.books.Book()
	if err != nil {
		return err
	}
	who, filters, since := transact.Who(c), url.Values{}, int64(-1) // before all revisions
	if p.SinceRevision != nil {
		since = *p.SinceRevision
		filters.Set("since_revision", strconv.FormatInt(since, 10))
	}
	k, err := respond.NewKeyset(who.Organization, "/v1/tanks/changes", filters, p.Limit, p.Cursor)
	if err != nil {
		return err
	}
	after, err := k.AfterID()
	if err != nil {
		return err
	}
	out := gen.TankChangesPage{CatalogueRevision: book.Snapshot.Revision(), ModelVersion: book.Model.Version()}
	var list []store.ChangedTank
	err = transact.ReadAnywhere(c, s.store, func(tx *store.Tx) (err error) {
		ctx := c.Request().Context()
		if list, err = tx.ChangedTanks(ctx, since, after, k.Limit+1); err != nil {
			return err
		}
		out.Pending, err = tx.Unscreened(ctx, store.Basis{Revision: out.CatalogueRevision, Model: out.ModelVersion, Region: who.Region})
		return err
	})
	if err != nil {
		return err
	}
	list, next, link := respond.Cut(&k, who.Organization, list, func(t *store.ChangedTank) string { return t.ID.String() })
	out.Next = next
	if out.Changes, err = wire.MappedAll(list, changeWire); err != nil {
		return err
	}
	return respond.To(c).Send(respond.Listed(out, link))
}

func changeWire(t store.ChangedTank) (out gen.TankChange, err error) {
	out = gen.TankChange{Tank: t.ID.String(), Label: t.Label, ExternalRef: t.ExternalRef, FoundAt: t.FoundAt.UTC()}
	if err = wire.DecodeStored(t.Before, &out.Before); err == nil {
		err = wire.DecodeStored(t.After, &out.After)
	}
	out.NewReasons, out.GoneReasons = without(out.After.Reasons, out.Before.Reasons), without(out.Before.Reasons, out.After.Reasons)
	return out, err
}

// without are the reasons that are not among others: of another kind, or of another gravity, or about other animals.
func without(list, others []gen.VerdictReason) []gen.VerdictReason {
	out := []gen.VerdictReason{}
	for _, r := range list {
		known := false
		for _, o := range others {
			known = known || o == r
		}
		if !known {
			out = append(out, r)
		}
	}
	return out
}
