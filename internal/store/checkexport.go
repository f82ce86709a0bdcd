package store

import (
	"context"
	"time"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// exportPatience bounds an export, and with it for how long a reader that dawdles holds a
// connection and keeps the database from tidying up.
const exportPatience = 10 * time.Minute

// ExportChecks hands every record that a filter lets pass to each, whole, the oldest first. It is
// one statement, so that all of it is of one moment: what is recorded or overridden
// meanwhile is not in it. One record is in memory at a time.
//
// What each reports ends it and passes unchanged.
func (s *Store) ExportChecks(ctx context.Context, organization uuid.UUID, f CheckFilter, each func(CheckRecord) error) error {
	ctx, cancel := context.WithTimeout(ctx, exportPatience)
	defer cancel()
	return s.scoped(ctx, "begin read only; "+asOrganization(organization), func(tx pgx.Tx) error {
		rows, err := tx.Query(ctx, `
			SELECT `+checkHead+`, input, answer`+recordsOf+`
			ORDER BY decided_at, id`, f.parameters(organization)...)
		if err != nil {
			return explain("export the checks", err)
		}
		defer rows.Close()
		for rows.Next() {
			record, err := scanCheck(rows)
			if err != nil {
				return explain("export the checks", err)
			}
			if err := each(record); err != nil {
				cancel() // or closing would read all that is left
				return err
			}
		}
		return explain("export the checks", rows.Err())
	})
}
