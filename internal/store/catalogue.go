package store

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"strconv"
	"time"

	"commensal/internal/species"

	"github.com/jackc/pgx/v5"
)

// catalogueLock is the advisory lock of a load under way: "catl" in ASCII.
const catalogueLock int64 = 0x6361746c

// catalogueChannel is where a new revision is announced, with its number.
const catalogueChannel = "commensal_catalogue"

// Revision describes one revision of the catalogue.
type Revision struct {
	Number       int64
	CreatedAt    time.Time
	Note         string
	SpeciesCount int
	ContentHash  [sha256.Size]byte
}

// LoadCatalogue makes c the current catalogue, as a new revision with a number
// above all earlier ones. If the current revision has the same content it writes
// nothing and returns that revision with changed false, so replicas may all load
// at their start: they take turns, and one of them writes. The content of an
// older revision loaded again becomes a new revision.
//
// The whole is one transaction; watchers hear of it when it is committed, not
// before. note says why, for [Store.Revisions].
//
// A [ContentError] or [ConstraintError] means that c breaks a rule of the tables
// (an unknown parent or candidate, a doubled id, a band out of order, …); the
// stored catalogue is then as before. c is not changed and not kept.
func (s *Store) LoadCatalogue(ctx context.Context, c species.Catalogue, note string) (revision int64, changed bool, err error) {
	return s.load(ctx, c, note, func(int64) error { return nil })
}

// AmendCatalogue is [Store.LoadCatalogue] of a catalogue that was made from revision
// base, 0 for none: it returns [ErrRevisionMoved] when that is not the current one, so
// that what others loaded meanwhile is not undone unseen.
func (s *Store) AmendCatalogue(ctx context.Context, base int64, c species.Catalogue, note string) (revision int64, changed bool, err error) {
	return s.load(ctx, c, note, func(current int64) error {
		if current != base {
			return ErrRevisionMoved
		}
		return nil
	})
}

// load writes a revision, if allowed says so of the number of the current one, or of 0.
func (s *Store) load(ctx context.Context, c species.Catalogue, note string, allowed func(current int64) error) (revision int64, changed bool, err error) {
	if err := checkContent(c); err != nil {
		return 0, false, err
	}
	hash := contentHash(c)
	err = s.inTx(ctx, func(tx pgx.Tx) error {
		if _, err := tx.Exec(ctx, `SELECT pg_advisory_xact_lock($1)`, catalogueLock); err != nil {
			return err
		}
		current, err := currentRevision(ctx, tx)
		if err != nil && !errors.Is(err, ErrNoCatalogue) {
			return err
		}
		if err := allowed(current.Number); err != nil {
			return err
		}
		if err == nil && current.ContentHash == hash {
			revision = current.Number
			return nil
		}
		revision, err = insertRevision(ctx, tx, hash, len(c.Species), note)
		if err != nil {
			return err
		}
		changed = true
		return fillRevision(ctx, tx, revision, catalogueTables(c))
	})
	if err != nil {
		if errors.Is(err, ErrRevisionMoved) {
			return 0, false, err
		}
		return 0, false, explain("load the catalogue", err)
	}
	return revision, changed, nil
}

func insertRevision(ctx context.Context, tx pgx.Tx, hash [sha256.Size]byte, count int, note string) (revision int64, err error) {
	err = tx.QueryRow(ctx, `
		INSERT INTO catalogue_revisions (content_hash, species_count, note)
		VALUES ($1, $2, $3)
		RETURNING revision`, hash[:], count, note).Scan(&revision)
	return revision, err
}

// fillRevision copies the rows and announces the revision on commit.
func fillRevision(ctx context.Context, tx pgx.Tx, revision int64, tables []copyTable) error {
	for _, t := range tables {
		columns := append([]string{"revision"}, t.columns...)
		rows := pgx.CopyFromSlice(len(t.rows), func(i int) ([]any, error) {
			return append([]any{revision}, t.rows[i]...), nil
		})
		if _, err := tx.CopyFrom(ctx, pgx.Identifier{t.name}, columns, rows); err != nil {
			return err
		}
	}
	_, err := tx.Exec(ctx, `SELECT pg_notify($1, $2)`, catalogueChannel, strconv.FormatInt(revision, 10))
	return err
}

// CurrentRevision is the number of the current revision, or [ErrNoCatalogue].
func (s *Store) CurrentRevision(ctx context.Context) (int64, error) {
	r, err := currentRevision(ctx, s.pool)
	if errors.Is(err, ErrNoCatalogue) {
		return 0, err
	}
	return r.Number, explain("read the current revision", err)
}

const revisionColumns = `revision, created_at, note, species_count, content_hash`

func currentRevision(ctx context.Context, db rowQuerier) (Revision, error) {
	r, err := scanRevision(db.QueryRow(ctx, `
		SELECT `+revisionColumns+`
		FROM catalogue_revisions
		ORDER BY revision DESC
		LIMIT 1`))
	if errors.Is(err, pgx.ErrNoRows) {
		return Revision{}, ErrNoCatalogue
	}
	return r, err
}

func scanRevision(row pgx.Row) (r Revision, err error) {
	var hash []byte
	err = row.Scan(&r.Number, &r.CreatedAt, &r.Note, &r.SpeciesCount, &hash)
	copy(r.ContentHash[:], hash)
	return r, err
}

// Revisions lists the newest revisions first, at most limit of them. No catalogue
// at all is an empty list, not an error.
func (s *Store) Revisions(ctx context.Context, limit int) ([]Revision, error) {
	rows, err := s.pool.Query(ctx, `
		SELECT `+revisionColumns+`
		FROM catalogue_revisions
		ORDER BY revision DESC
		LIMIT $1`, max(limit, 0))
	if err != nil {
		return nil, explain("list revisions", err)
	}
	list, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (Revision, error) { return scanRevision(row) })
	return list, explain("list revisions", err)
}

// Catalogue returns the catalogue of a revision exactly as it was loaded, in the
// same order, empty lists being nil. It returns [ErrNotFound] when there is no such
// revision. A revision never changes, so the result may be kept for good.
//
// A value under a key that this program does not know, written by a newer one, is
// an error: leaving it out would silently change the answers.
func (s *Store) Catalogue(ctx context.Context, revision int64) (species.Catalogue, error) {
	c, err := readCatalogue(ctx, s.pool, revision)
	if err != nil {
		return species.Catalogue{}, explain(fmt.Sprintf("read catalogue revision %d", revision), err)
	}
	return c, nil
}
