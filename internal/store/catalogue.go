package store

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"strings"
	"time"

	"commensal/internal/species"
	"commensal/internal/store/cataloguerows"
	"commensal/internal/store/migration"

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
	KeyID        string // of the curator who made it; empty for a load from the command line
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
// A [cataloguerows.ContentError] or [ConstraintError] means that c breaks a rule of the tables
// (an unknown parent or candidate, a doubled id, a band out of order, …); the
// stored catalogue is then as before. c is not changed and not kept.
func (s *Store) LoadCatalogue(ctx context.Context, c species.Catalogue, note string) (revision int64, changed bool, err error) {
	return s.load(ctx, Change{Catalogue: c, Note: note, OnTopOf: AnyRevision})
}

// AmendCatalogue is [Store.LoadCatalogue] of a catalogue that was made from revision
// base, 0 for none: it returns [ErrRevisionMoved] when that is not the current one, so
// that what others loaded meanwhile is not undone unseen.
func (s *Store) AmendCatalogue(ctx context.Context, base int64, c species.Catalogue, note string) (revision int64, changed bool, err error) {
	return s.load(ctx, Change{Catalogue: c, Note: note, OnTopOf: base})
}

// OfferCatalogue is [Store.LoadCatalogue] of the built-in catalogue by a program that may not know what
// the database has: it stands back where somebody loaded another catalogue, changed it or went back, and
// where a later edition was loaded. The revision that is then current is returned, with taken false; taken
// says that it holds the offered catalogue, changed that it is new.
func (s *Store) OfferCatalogue(ctx context.Context, c species.Catalogue, e Edition) (r Revision, taken, changed bool, err error) {
	p, err := Change{Catalogue: c, Note: e.Note(), OnTopOf: AnyRevision, offered: e.Number}.prepare()
	if err != nil {
		return Revision{}, false, false, err
	}
	err = s.inTx(ctx, func(tx pgx.Tx) (err error) {
		r, changed, err = p.write(ctx, tx)
		return err
	})
	return r, r.ContentHash == p.hash, changed, explain("offer the catalogue", err)
}

func (s *Store) load(ctx context.Context, c Change) (revision int64, changed bool, err error) {
	p, err := c.prepare()
	if err != nil {
		return 0, false, err
	}
	var r Revision
	err = s.inTx(ctx, func(tx pgx.Tx) (err error) {
		r, changed, err = p.write(ctx, tx)
		return err
	})
	if err != nil {
		if errors.Is(err, ErrRevisionMoved) {
			return 0, false, err
		}
		return 0, false, explain("load the catalogue", err)
	}
	return r.Number, changed, nil
}

// CurrentRevision is the number of the current revision, or [ErrNoCatalogue].
func (s *Store) CurrentRevision(ctx context.Context) (int64, error) {
	r, err := currentRevision(ctx, s.pool)
	if errors.Is(err, ErrNoCatalogue) {
		return 0, err
	}
	return r.Number, explain("read the current revision", err)
}

const revisionColumns = `revision, created_at, note, species_count, content_hash, coalesce(key_id, '')`

func currentRevision(ctx context.Context, db migration.Querier) (Revision, error) {
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
	err = row.Scan(&r.Number, &r.CreatedAt, &r.Note, &r.SpeciesCount, &hash, &r.KeyID)
	copy(r.ContentHash[:], hash)
	return r, err
}

// Revisions lists the newest revisions first, at most limit of them. No catalogue
// at all is an empty list, not an error.
func (s *Store) Revisions(ctx context.Context, limit int) ([]Revision, error) {
	return s.RevisionsBefore(ctx, 0, max(limit, 0))
}

// Catalogue returns the catalogue of a revision exactly as it was loaded, in the
// same order, empty lists being nil. It returns [ErrNotFound] when there is no such
// revision. A revision never changes, so the result may be kept for good.
//
// A value under a key that this program does not know, written by a newer one, is
// an error: leaving it out would silently change the answers.
func (s *Store) Catalogue(ctx context.Context, revision int64) (species.Catalogue, error) {
	ctx, cancel := context.WithTimeout(ctx, catalogueTime)
	defer cancel()
	c, err := cataloguerows.Read(ctx, s.pool, revision)
	if err != nil {
		return species.Catalogue{}, explain(fmt.Sprintf("read catalogue revision %d", revision), err)
	}
	return c, nil
}

// Edition is an edition of the built-in catalogue, as a program brings it along.
type Edition struct {
	Number  int    // from 1; a later edition has a higher one
	Version string // of the program
}

// builtInNote begins the note of every revision that a program brought along.
const builtInNote = "built-in catalogue"

// Note is the note of a revision that holds the edition, by which another program knows it again.
func (e Edition) Note() string {
	return fmt.Sprintf("%s, edition %d, of commensal %s", builtInNote, e.Number, e.Version)
}

// Edition is which edition of the built-in catalogue the revision holds: 0 for one from before they were
// numbered. ok is false for what somebody loaded, changed or went back to.
func (r Revision) Edition() (number int, ok bool) {
	rest, ok := strings.CutPrefix(r.Note, builtInNote)
	if !ok || r.KeyID != "" {
		return 0, false
	}
	if _, err := fmt.Sscanf(rest, ", edition %d, of commensal ", &number); err != nil {
		return 0, true
	}
	return number, true
}

// givesWayTo reports whether an edition may replace the revision unasked.
func (r Revision) givesWayTo(edition int) bool {
	held, ok := r.Edition()
	return ok && held <= edition
}
