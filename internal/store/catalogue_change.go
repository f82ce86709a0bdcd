package store

import (
	"context"
	"crypto/sha256"
	"errors"
	"strconv"

	"commensal/internal/species"
	"commensal/internal/store/cataloguerows"

	"github.com/jackc/pgx/v5"
)

// AnyRevision is a [Change.OnTopOf] that does not mind which revision is the current one.
const AnyRevision int64 = -1

// Change is a catalogue that is to become the current one.
type Change struct {
	Catalogue species.Catalogue
	Note      string
	KeyID     string // of the curator who makes it; empty on the command line
	// OnTopOf is the revision that must be the current one, 0 for none at all;
	// AnyRevision for whichever it is.
	OnTopOf int64
	// Like is a revision whose content the caller has at hand. What is equal shares the
	// rows of that revision. The zero Like stands for the current revision, which is
	// read for the purpose.
	Like Content

	offered int // edition that leaves a revision in place which is of none, or of a later one; 0 replaces all
}

// Content is a revision with its content.
type Content struct {
	Revision  int64
	Catalogue species.Catalogue
}

// prepared is a change that was looked at before its transaction begins.
type prepared struct {
	Change
	hash [sha256.Size]byte
}

// prepare refuses what would be lost.
func (c Change) prepare() (prepared, error) {
	if err := cataloguerows.Check(c.Catalogue); err != nil {
		return prepared{}, err
	}
	return prepared{c, cataloguerows.Hash(c.Catalogue)}, nil
}

// ChangeCatalogue makes a catalogue the current one, in the transaction at hand: the
// caller has checked that the key may. The promises of [Store.AmendCatalogue] hold.
func (t *Tx) ChangeCatalogue(ctx context.Context, c Change) (r Revision, changed bool, err error) {
	p, err := c.prepare()
	if err != nil {
		return r, false, err
	}
	// The catalogue belongs to no organization: the role that acts for one cannot write it.
	if _, err := t.tx.Exec(ctx, `SET LOCAL ROLE NONE`); err != nil {
		return r, false, explain("change the catalogue", err)
	}
	if r, changed, err = p.write(ctx, t.tx); err != nil {
		if errors.Is(err, ErrRevisionMoved) {
			return r, false, err
		}
		return r, false, explain("change the catalogue", err)
	}
	_, err = t.tx.Exec(ctx, asOrganization(t.organization))
	return r, changed, explain("act for an organization", err)
}

// write writes the revision, unless the current one is another than was meant or has the
// same content.
func (p prepared) write(ctx context.Context, tx statements) (r Revision, changed bool, err error) {
	if _, err := tx.Exec(ctx, `SELECT pg_advisory_xact_lock($1)`, catalogueLock); err != nil {
		return r, false, err
	}
	current, err := currentRevision(ctx, tx)
	none := errors.Is(err, ErrNoCatalogue)
	switch {
	case err != nil && !none:
		return r, false, err
	case p.OnTopOf != AnyRevision && p.OnTopOf != current.Number:
		return r, false, ErrRevisionMoved
	case !none && current.ContentHash == p.hash:
		return current, false, nil
	case p.offered > 0 && !none && !current.givesWayTo(p.offered):
		return current, false, nil
	}
	written, err := p.shared(ctx, tx, current.Number)
	if err != nil {
		return r, false, err
	}
	if r, err = p.insert(ctx, tx); err != nil {
		return r, false, err
	}
	return r, true, fillRevision(ctx, tx, r.Number, cataloguerows.Tables(r.Number, p.Catalogue, written))
}

// shared tells of the entries whose rows are there already in which revision they were
// written.
func (p prepared) shared(ctx context.Context, tx statements, current int64) (written map[species.ID]int64, err error) {
	like := p.Like
	if like.Revision == 0 {
		like.Revision = current
		like.Catalogue, err = cataloguerows.Read(ctx, tx, current)
		var unknown *cataloguerows.UnknownKeyError
		switch {
		case current == 0, errors.As(err, &unknown): // what a newer program wrote is replaced as a whole
			return nil, nil
		case err != nil:
			return nil, err
		}
	}
	if written, err = writtenIn(ctx, tx, like.Revision); err != nil {
		return nil, err
	}
	return keepEqual(written, like.Catalogue, p.Catalogue), nil
}

// writtenIn maps the entries of a revision to where their rows are.
func writtenIn(ctx context.Context, tx statements, revision int64) (map[species.ID]int64, error) {
	rows, err := tx.Query(ctx, `SELECT species_id, written_in FROM catalogue_entries WHERE revision = $1`, revision)
	if err != nil {
		return nil, err
	}
	written := make(map[species.ID]int64)
	var id species.ID
	var in int64
	_, err = pgx.ForEachRow(rows, []any{&id, &in}, func() error {
		written[id] = in
		return nil
	})
	return written, err
}

// keepEqual drops the entries that are not the same in both catalogues.
func keepEqual(written map[species.ID]int64, before, after species.Catalogue) map[species.ID]int64 {
	old := make(map[species.ID]*species.Species, len(before.Species))
	for _, s := range before.Species {
		old[s.ID] = s
	}
	equal := make(map[species.ID]int64, len(written))
	for _, s := range after.Species {
		was := old[s.ID]
		if in, there := written[s.ID]; there && was != nil && (was == s || cataloguerows.EntryHash(was) == cataloguerows.EntryHash(s)) {
			equal[s.ID] = in
		}
	}
	return equal
}

func (p prepared) insert(ctx context.Context, tx statements) (Revision, error) {
	return scanRevision(tx.QueryRow(ctx, `
		INSERT INTO catalogue_revisions (content_hash, species_count, note, key_id)
		VALUES ($1, $2, $3, nullif($4, ''))
		RETURNING `+revisionColumns, p.hash[:], len(p.Catalogue.Species), p.Note, p.KeyID))
}

// fillRevision copies the rows and announces the revision on commit.
func fillRevision(ctx context.Context, tx statements, revision int64, tables []cataloguerows.Table) error {
	for _, t := range tables {
		if len(t.Rows) == 0 {
			continue
		}
		columns := append([]string{"revision"}, t.Columns...)
		rows := pgx.CopyFromSlice(len(t.Rows), func(i int) ([]any, error) {
			return append([]any{revision}, t.Rows[i]...), nil
		})
		if _, err := tx.CopyFrom(ctx, pgx.Identifier{t.Name}, columns, rows); err != nil {
			return err
		}
	}
	_, err := tx.Exec(ctx, `SELECT pg_notify($1, $2)`, catalogueChannel, strconv.FormatInt(revision, 10))
	return err
}
