package store

import (
	"context"
	"fmt"
	"strconv"
	"time"

	"commensal/internal/species"
	"commensal/internal/store/cataloguerows"

	"github.com/jackc/pgx/v5"
)

// EntryChange is a revision in which an entry came, changed or went.
type EntryChange struct {
	Revision
	Before, After *species.Species // nil where there was or is none
}

// catalogueTime bounds the reading of a whole catalogue.
const catalogueTime = 10 * time.Second

// FindRevision returns a revision, or [ErrNotFound].
func (s *Store) FindRevision(ctx context.Context, number int64) (r Revision, err error) {
	ctx, cancel := context.WithTimeout(ctx, s.opts.Patience)
	defer cancel()
	r, err = scanRevision(s.pool.QueryRow(ctx, `SELECT `+revisionColumns+` FROM catalogue_revisions WHERE revision = $1`, number))
	return r, explain(fmt.Sprintf("find catalogue revision %d", number), err)
}

// LatestRevision is the current revision, or [ErrNoCatalogue].
func (s *Store) LatestRevision(ctx context.Context) (Revision, error) {
	ctx, cancel := context.WithTimeout(ctx, s.opts.Patience)
	defer cancel()
	list, err := revisionsBefore(ctx, s.pool, 0, 1)
	if err == nil && len(list) == 0 {
		return Revision{}, ErrNoCatalogue
	}
	if err != nil {
		return Revision{}, err
	}
	return list[0], nil
}

// RevisionsBefore lists the revisions before a number, 0 for all, the newest first, at
// most limit of them. It may be read on the replica.
func (s *Store) RevisionsBefore(ctx context.Context, before int64, limit int) (list []Revision, err error) {
	err = s.lookAnywhere(ctx, func(ctx context.Context, db queryable) (err error) {
		list, err = revisionsBefore(ctx, db, before, limit)
		return err
	})
	return list, err
}

func revisionsBefore(ctx context.Context, db querier, before int64, limit int) ([]Revision, error) {
	rows, err := db.Query(ctx, `
		SELECT `+revisionColumns+` FROM catalogue_revisions
		WHERE $1 = 0 OR revision < $1
		ORDER BY revision DESC
		LIMIT $2`, before, limit)
	if err != nil {
		return nil, explain("list revisions", err)
	}
	list, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (Revision, error) { return scanRevision(row) })
	return list, explain("list revisions", err)
}

// EntryChanges lists the revisions before a number, 0 for all, that changed an entry, the
// newest first, at most limit of them, with the entry before and after. An entry that
// was written anew with the same content is among them. It may be read on the replica.
func (s *Store) EntryChanges(ctx context.Context, id species.ID, before int64, limit int) (changes []EntryChange, err error) {
	err = s.lookAnywhere(ctx, func(ctx context.Context, db queryable) (err error) {
		changes, err = entryChanges(ctx, db, id, before, limit)
		return err
	})
	return changes, err
}

func entryChanges(ctx context.Context, db queryable, id species.ID, before int64, limit int) ([]EntryChange, error) {
	turns, err := turnsOf(ctx, db, id, before, limit)
	if err != nil {
		return nil, explain("read the history of "+string(id), err)
	}
	var wanted []int64
	for _, t := range turns {
		wanted = append(wanted, t.Number, t.before)
	}
	was, err := cataloguerows.ReadEntries(ctx, db, "e.revision::text", "e.species_id = $1 AND e.revision = ANY ($2)", id, wanted)
	if err != nil {
		return nil, explain("read the history of "+string(id), err)
	}
	out := make([]EntryChange, len(turns))
	for i, t := range turns {
		out[i] = EntryChange{t.Revision, was[strconv.FormatInt(t.before, 10)], was[strconv.FormatInt(t.Number, 10)]}
	}
	return out, nil
}

// turn is a revision in which an entry has other rows than in the one before, which is 0
// for none.
type turn struct {
	Revision
	before int64
}

func turnsOf(ctx context.Context, db querier, id species.ID, before int64, limit int) ([]turn, error) {
	rows, err := db.Query(ctx, `
		WITH line AS (
			SELECT r.*, e.written_in, lag(e.written_in) OVER w AS was_written_in, lag(r.revision) OVER w AS before
			FROM catalogue_revisions r LEFT JOIN catalogue_entries e ON e.revision = r.revision AND e.species_id = $1
			WINDOW w AS (ORDER BY r.revision))
		SELECT `+revisionColumns+`, coalesce(before, 0) FROM line
		WHERE written_in IS DISTINCT FROM was_written_in AND ($2 = 0 OR revision < $2)
		ORDER BY revision DESC
		LIMIT $3`, id, before, limit)
	if err != nil {
		return nil, err
	}
	return pgx.CollectRows(rows, func(row pgx.CollectableRow) (t turn, err error) {
		var hash []byte
		err = row.Scan(&t.Number, &t.CreatedAt, &t.Note, &t.SpeciesCount, &hash, &t.KeyID, &t.before)
		copy(t.ContentHash[:], hash)
		return t, err
	})
}
