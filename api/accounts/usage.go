package accounts

import (
	"context"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/transact"
	"commensal/api/validate"
	"commensal/internal/store"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"
)

// GetUsage tells what an organization has stored, and how much it may.
func (s *Accounts) GetUsage(c echo.Context, organizationID string) error {
	var out gen.Usage
	err := s.readOf(c, &organizationID, func(ctx context.Context, tx *store.Tx) (err error) {
		if err := tx.HasOrganization(ctx); err != nil {
			return err
		}
		out, err = usageOf(ctx, tx)
		return err
	})
	if err != nil {
		return err
	}
	return respond.To(c).Send(respond.JSON(out))
}

// SetQuotas gives an organization quotas of its own.
func (s *Accounts) SetQuotas(c echo.Context, organizationID string) error {
	in, err := validate.Body[gen.Quotas](c)
	if err != nil {
		return err
	}
	of, err := organizationOf(c, &organizationID)
	if err != nil {
		return respond.StoreFault(err)
	}
	return respond.To(c).Send(transact.Write(c, s.store, func(tx *store.Tx) (*respond.Reply, error) {
		return setQuotas(c.Request().Context(), tx, of, quotasOf(in))
	}))
}

func setQuotas(ctx context.Context, tx *store.Tx, of uuid.UUID, most map[string]int64) (*respond.Reply, error) {
	back, err := tx.ActFor(ctx, of)
	if err != nil {
		return nil, err
	}
	if err := tx.SetQuotas(ctx, most); err != nil {
		return nil, err
	}
	out, err := usageOf(ctx, tx)
	if err != nil {
		return nil, err
	}
	if err := back(); err != nil {
		return nil, err
	}
	return respond.JSON(out)
}

// quotasOf are the quotas that a request names.
func quotasOf(in *gen.Quotas) map[string]int64 {
	most := map[string]int64{}
	for kind, n := range map[string]*int64{
		"tanks": in.Tanks, "residents": in.Residents, "readings": in.Readings, "recorded_bytes": in.RecordedBytes, "reports": in.Reports, "articles": in.Articles,
	} {
		if n != nil {
			most[kind] = *n
		}
	}
	return most
}

// usageOf is the usage of whom the transaction acts for.
func usageOf(ctx context.Context, tx *store.Tx) (gen.Usage, error) {
	list, err := tx.Usage(ctx)
	if err != nil {
		return gen.Usage{}, err
	}
	used := map[string]gen.Used{}
	for _, u := range list {
		used[u.Kind] = gen.Used{Used: u.Used, Quota: u.Quota, Usual: u.Usual}
	}
	return gen.Usage{Organization: tx.Organization().String(), Tanks: used["tanks"], Residents: used["residents"],
		Readings: used["readings"], RecordedBytes: used["recorded_bytes"], Reports: used["reports"], Articles: used["articles"]}, nil
}
