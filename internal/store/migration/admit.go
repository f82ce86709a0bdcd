package migration

import (
	"context"
	"fmt"

	"github.com/jackc/pgx/v5"
)

// Admit lets a role that owns nothing do the work of the service, as the owner of the tables: it
// may take on the roles that act for organizations, and may read and add to the tables that are
// nobody's own, which are the catalogue's. What belongs to organizations it reaches through those
// roles alone. Where the role may do all that already, nothing is written. The migrations must have
// been applied.
func (m *Migrator) Admit(ctx context.Context, role string) error {
	conn, err := pgx.Connect(ctx, m.dsn)
	if err != nil {
		return fmt.Errorf("store: admit %s: %w", role, err)
	}
	defer conn.Close(context.WithoutCancel(ctx))
	err = pgx.BeginFunc(ctx, conn, func(tx pgx.Tx) error {
		grants, err := missingGrants(ctx, tx, role)
		if err != nil {
			return err
		}
		for _, grant := range grants {
			if _, err := tx.Exec(ctx, "GRANT "+grant+" TO "+pgx.Identifier{role}.Sanitize()); err != nil {
				return err
			}
		}
		return nil
	})
	if err != nil {
		return fmt.Errorf("store: admit %s: %w", role, err)
	}
	return nil
}

// missingGrants are the grants that a role lacks for the work of the service. The tables that
// row-level security does not guard are the catalogue's, whose rows are added and never changed.
func missingGrants(ctx context.Context, tx pgx.Tx, role string) ([]string, error) {
	rows, err := tx.Query(ctx, `
		SELECT name FROM unnest(ARRAY['`+ServiceRole+`', '`+KeeperRole+`']) AS name
		WHERE NOT pg_has_role($1, name, 'MEMBER')
		UNION ALL
		SELECT right_to || ' ON ' || oid::regclass
		FROM (
			SELECT oid, CASE relname WHEN 'schema_migrations' THEN 'SELECT' ELSE 'SELECT, INSERT' END AS right_to
			FROM pg_class
			WHERE relnamespace = current_schema()::regnamespace AND relkind = 'r' AND NOT relrowsecurity
		) AS open_tables
		CROSS JOIN unnest(string_to_array(right_to, ', ')) AS single
		WHERE NOT has_table_privilege($1, oid, single)
		GROUP BY oid, right_to`, role)
	if err != nil {
		return nil, err
	}
	return pgx.CollectRows(rows, pgx.RowTo[string])
}
