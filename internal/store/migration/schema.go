package migration

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"

	"github.com/golang-migrate/migrate/v4/source/iofs"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
)

// SchemaError says that the database's schema is not the one this program was
// built for.
type SchemaError struct {
	Have, Want uint // migration numbers; Have 0 means that none has been applied
	// Dirty says that migration Have was begun and not finished.
	Dirty bool
}

// Newer reports whether the database was migrated by a newer program.
func (e *SchemaError) Newer() bool { return !e.Dirty && e.Have > e.Want }

// Older reports whether migrations are missing.
func (e *SchemaError) Older() bool { return !e.Dirty && e.Have < e.Want }

func (e *SchemaError) Error() string {
	switch {
	case e.Dirty:
		return fmt.Sprintf("store: migration %d was begun by another tool and not finished: compare the tables with the migration's text, "+
			"complete or undo it by hand, then set version and dirty in schema_migrations to match", e.Have)
	case e.Have == 0:
		return fmt.Sprintf("store: the database has no tables yet, version %d is needed: run commensal migrate up", e.Want)
	case e.Older():
		return fmt.Sprintf("store: the database is at version %d, older than the %d this program needs: run commensal migrate up", e.Have, e.Want)
	}
	return fmt.Sprintf("store: the database is at version %d, newer than the %d this program knows: run the newer program, "+
		"or use that one to go back with commensal migrate down %d", e.Have, e.Want, e.Have-e.Want)
}

// Querier is a pool, a connection or a transaction.
type Querier interface {
	QueryRow(ctx context.Context, sql string, args ...any) pgx.Row
}

// Version reads what golang-migrate keeps; no table or no row means that
// nothing has been applied.
func Version(ctx context.Context, db Querier) (version uint, dirty bool, err error) {
	var v int64
	err = db.QueryRow(ctx, `SELECT version, dirty FROM schema_migrations`).Scan(&v, &dirty)
	switch {
	case errors.Is(err, pgx.ErrNoRows), isUndefinedTable(err):
		return 0, false, nil
	case err != nil:
		return 0, false, fmt.Errorf("store: read the schema version: %w", err)
	}
	return uint(max(v, 0)), dirty, nil
}

// Latest is the number of the newest migration in fsys.
func Latest(fsys fs.FS) (uint, error) {
	src, err := iofs.New(fsys, ".")
	if err != nil {
		return 0, fmt.Errorf("store: migrations: %w", err)
	}
	defer src.Close()
	version, err := src.First()
	for err == nil {
		var next uint
		if next, err = src.Next(version); err == nil {
			version = next
		}
	}
	if !errors.Is(err, os.ErrNotExist) {
		return 0, fmt.Errorf("store: migrations: %w", err)
	}
	if version == 0 {
		return 0, errors.New("store: migrations: there are none")
	}
	return version, nil
}

const undefinedTable = "42P01"

func isUndefinedTable(err error) bool {
	var pgErr *pgconn.PgError
	return errors.As(err, &pgErr) && pgErr.Code == undefinedTable
}
