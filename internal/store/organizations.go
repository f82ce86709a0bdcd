package store

import (
	"context"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// Organization is somebody who stores things: a shop, a forum, a rehoming group.
type Organization struct {
	ID        uuid.UUID
	Name      string
	Region    *string // whose rules its requests are judged by unless they name another; nil for none
	CreatedAt time.Time
}

// NameTaken is the constraint that a second organization of a name breaks.
const NameTaken = "organizations_name_unique"

const organizationColumns = `id, name, region, created_at`

func scanOrganization(row pgx.CollectableRow) (o Organization, err error) {
	err = row.Scan(&o.ID, &o.Name, &o.Region, &o.CreatedAt)
	return o, err
}

// CreateOrganization makes an organization, where a region says; nil for nowhere in particular. A name that is taken is a
// [ConstraintError] of [NameTaken].
func (t *Tx) CreateOrganization(ctx context.Context, name string, region *string) (o Organization, err error) {
	err = t.asKeeper(ctx, func() (err error) {
		o, err = createOrganization(ctx, t.tx, name, region)
		return err
	})
	return o, err
}

// CreateOrganization is [Tx.CreateOrganization] for an operator at the prompt, who needs
// no key.
func (s *Store) CreateOrganization(ctx context.Context, name string) (o Organization, err error) {
	err = s.keeper(ctx, func(tx pgx.Tx) (err error) {
		o, err = createOrganization(ctx, tx, name, nil)
		return err
	})
	return o, err
}

// querier is a transaction of either kind.
type querier interface {
	Query(ctx context.Context, sql string, args ...any) (pgx.Rows, error)
}

func createOrganization(ctx context.Context, tx querier, name string, region *string) (Organization, error) {
	id, err := uuid.NewV7()
	if err != nil {
		return Organization{}, err
	}
	rows, err := tx.Query(ctx, `
		INSERT INTO organizations (id, name, region) VALUES ($1, $2, $3)
		RETURNING `+organizationColumns, id, name, region)
	if err != nil {
		return Organization{}, explain("create the organization", err)
	}
	o, err := pgx.CollectExactlyOneRow(rows, scanOrganization)
	return o, explain("create the organization", err)
}

// OrganizationByName finds an organization, or returns [ErrNotFound].
func (s *Store) OrganizationByName(ctx context.Context, name string) (o Organization, err error) {
	err = s.keeper(ctx, func(tx pgx.Tx) error {
		rows, err := tx.Query(ctx, `SELECT `+organizationColumns+` FROM organizations WHERE name = $1`, name)
		if err != nil {
			return explain("find the organization", err)
		}
		o, err = pgx.CollectExactlyOneRow(rows, scanOrganization)
		return explain("find the organization "+name, err)
	})
	return o, err
}

// Organizations lists organizations in the order they were made, from behind the id
// after, at most limit of them.
func (s *Store) Organizations(ctx context.Context, after uuid.UUID, limit int) (list []Organization, err error) {
	err = s.keeper(ctx, func(tx pgx.Tx) error {
		rows, err := tx.Query(ctx, `
			SELECT `+organizationColumns+` FROM organizations
			WHERE id > $1 ORDER BY id LIMIT $2`, after, limit)
		if err != nil {
			return explain("list the organizations", err)
		}
		list, err = pgx.CollectRows(rows, scanOrganization)
		return explain("list the organizations", err)
	})
	return list, err
}

// OrganizationItself is the organization the transaction acts for, or [ErrNotFound]: an admin may have
// named any id.
func (t *Tx) OrganizationItself(ctx context.Context) (Organization, error) {
	return one(ctx, t, "read the organization", scanOrganization, `SELECT `+organizationColumns+` FROM organizations WHERE id = $1`, t.organization)
}

// SetRegion says where the organization is; nil for nowhere in particular. An organization that does not exist
// is [ErrNotFound].
func (t *Tx) SetRegion(ctx context.Context, region *string) (Organization, error) {
	return one(ctx, t, "set the region", scanOrganization, `
		UPDATE organizations SET region = $2 WHERE id = $1
		RETURNING `+organizationColumns, t.organization, region)
}

// HasOrganization returns nil when the organization the transaction acts for exists, and
// [ErrNotFound] otherwise: an admin may have named any id.
func (t *Tx) HasOrganization(ctx context.Context) error {
	var one int
	err := t.tx.QueryRow(ctx, `SELECT 1 FROM organizations WHERE id = $1`, t.organization).Scan(&one)
	return explain("find the organization", err)
}

// asKeeper runs a part of a transaction as the keeper.
func (t *Tx) asKeeper(ctx context.Context, do func() error) error {
	if _, err := t.tx.Exec(ctx, "SET LOCAL ROLE "+keeperRole); err != nil {
		return explain("act as the keeper", err)
	}
	if err := do(); err != nil {
		return err
	}
	_, err := t.tx.Exec(ctx, "SET LOCAL ROLE "+serviceRole)
	return explain("act as the service", err)
}
