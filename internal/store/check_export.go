package store

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/google/uuid"
)

// exportPatience bounds an export, and with it for how long a reader that dawdles holds a
// connection and keeps the database from tidying up.
const exportPatience = 10 * time.Minute

// ExportChecks hands every record that a filter lets pass to each, whole, the oldest first. It is
// one statement, so that all of it is of one moment: what is recorded or overridden
// meanwhile is not in it. One record is in memory at a time.
//
// What each reports ends it and passes unchanged. The first record is waited for no longer than three
// times Options.Patience, for it may be far down a filtered list; then it is [ErrUnavailable].
func (s *Store) ExportChecks(ctx context.Context, organization uuid.UUID, f CheckFilter, each func(CheckRecord) error) error {
	hurried, cancel := context.WithCancel(ctx)
	defer cancel()
	late := time.AfterFunc(3*s.opts.Patience, cancel)
	err := s.as(hurried, exportPatience, opening{true, organization}, func(t *Tx) error {
		return t.exportChecks(hurried, f, func(c CheckRecord) error {
			late.Stop()
			err := each(c)
			if err != nil {
				cancel() // or closing would read all that is left
			}
			return err
		})
	})
	if !late.Stop() && errors.Is(err, context.Canceled) && ctx.Err() == nil {
		return fmt.Errorf("%w: export the checks", ErrUnavailable)
	}
	return err
}

func (t *Tx) exportChecks(ctx context.Context, f CheckFilter, each func(CheckRecord) error) error {
	rows, err := t.tx.Query(ctx, `
		SELECT `+checkHead+`, input, answer`+recordsOf+`
		ORDER BY decided_at, id`, f.parameters(t.organization)...)
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
			return err
		}
	}
	return explain("export the checks", rows.Err())
}
