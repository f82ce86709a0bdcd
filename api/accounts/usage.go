package accounts

import (
	"context"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/transact"
	"commensal/internal/store"

	"github.com/google/uuid"
)

// GetUsage tells what an organization has stored, and how much it may.
func (s *Accounts) GetUsage(ctx context.Context, r gen.GetUsageRequestObject) (gen.GetUsageResponseObject, error) {
	if s.store == nil {
		return nil, respond.ErrDatabaseAway
	}
	of, err := organizationOf(ctx, &r.Organization)
	if err != nil {
		return nil, respond.StoreFault(err)
	}
	var out gen.Usage
	err = s.store.Read(ctx, of, func(tx *store.Tx) (err error) {
		if err := tx.HasOrganization(ctx); err != nil {
			return err
		}
		out, err = usageOf(ctx, tx)
		return err
	})
	if err != nil {
		return nil, respond.StoreFault(err)
	}
	return respond.JSON(out)
}

// SetQuotas gives an organization quotas of its own.
func (s *Accounts) SetQuotas(ctx context.Context, r gen.SetQuotasRequestObject) (gen.SetQuotasResponseObject, error) {
	of, err := organizationOf(ctx, &r.Organization)
	if err != nil {
		return nil, respond.StoreFault(err)
	}
	return transact.Write(ctx, s.store, func(tx *store.Tx) (*respond.Reply, error) {
		return setQuotas(ctx, tx, of, quotasOf(r.Body))
	})
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
		"tanks": in.Tanks, "residents": in.Residents, "readings": in.Readings, "recorded_bytes": in.RecordedBytes, "reports": in.Reports,
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
		Readings: used["readings"], RecordedBytes: used["recorded_bytes"], Reports: used["reports"]}, nil
}
