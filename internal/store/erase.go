package store

import (
	"context"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// erasePatience bounds the erasing of a large organization.
const erasePatience = 25 * time.Second

// stored lists the tables that hold what organizations store, each before those that it
// refers to. A test compares it with the database.
var stored = []string{"readings", "residents", "tanks", "report_shares", "reports", "idempotency_records"}

// Erase deletes everything that an organization has stored, but not the organization
// itself nor its keys. An organization that does not exist is [ErrNotFound].
func (s *Store) Erase(ctx context.Context, organization uuid.UUID) error {
	ctx, cancel := context.WithTimeout(ctx, erasePatience)
	defer cancel()
	return s.scoped(ctx, "begin; "+asOrganization(organization), func(tx pgx.Tx) error {
		t := &Tx{tx, organization}
		if err := t.HasOrganization(ctx); err != nil {
			return err
		}
		for _, table := range stored {
			_, err := tx.Exec(ctx, `DELETE FROM `+pgx.Identifier{table}.Sanitize()+` WHERE organization_id = $1`, organization)
			if err != nil {
				return explain("erase "+table, err)
			}
		}
		return nil
	})
}
