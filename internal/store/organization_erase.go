package store

import (
	"context"
	"errors"
	"slices"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// erasePatience bounds the erasing of a large organization.
const erasePatience = 25 * time.Second

// stored lists the tables that hold what organizations store, each before those that it
// refers to. A test compares it with the database.
var stored = []string{"placement_acceptances", "placement_tanks", "placements", "tank_changes", "tank_screenings",
	"readings", "residents", "tanks", "articles", "report_shares", "reports", "check_outcomes", "check_overrides", "check_records", "idempotency_records"}

// final are those of them whose rows the service can add and not delete; the keeper can.
var final = []string{"check_overrides", "check_records"}

// Erase deletes everything that an organization has stored, but not the organization
// itself nor its keys. An organization that does not exist is [ErrNotFound].
//
// It goes table by table, and others go on storing meanwhile: where it waits too long for a
// lock, where the database ends a deadlock by giving the erasing up, and where something
// was added in the meantime to what is about to go, it is begun again.
func (s *Store) Erase(ctx context.Context, organization uuid.UUID) error {
	ctx, cancel := context.WithTimeout(ctx, erasePatience)
	defer cancel()
	for {
		if err := s.eraseAll(ctx, organization); !overtaken(err) {
			return err // when ctx is over, it says that the database is not available
		}
	}
}

// overtaken reports that an erasing failed for what others did at the same time.
func overtaken(err error) bool {
	var refused *ConstraintError
	return errors.Is(err, ErrBusy) || errors.As(err, &refused) && refused.SQLState == ForeignKeyViolation
}

func (s *Store) eraseAll(ctx context.Context, organization uuid.UUID) error {
	return s.as(ctx, erasePatience, opening{false, organization}, func(t *Tx) error {
		if err := t.HasOrganization(ctx); err != nil {
			return err
		}
		for _, table := range stored {
			if err := t.erase(ctx, table); err != nil {
				return err
			}
		}
		return nil
	})
}

func (t *Tx) erase(ctx context.Context, table string) error {
	remove := func() error {
		_, err := t.tx.Exec(ctx, `DELETE FROM `+pgx.Identifier{table}.Sanitize()+` WHERE organization_id = $1`, t.organization)
		return explain("erase "+table, err)
	}
	if slices.Contains(final, table) {
		return t.asKeeper(ctx, remove)
	}
	return remove()
}
