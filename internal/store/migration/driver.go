package migration

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"io"

	"github.com/golang-migrate/migrate/v4/database"
	migratepgx "github.com/golang-migrate/migrate/v4/database/pgx/v5"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/stdlib"
)

// migrateLock is the advisory lock of a migrator at work: "comm" in ASCII.
const migrateLock int64 = 0x636f6d6d

// atomicDriver is golang-migrate's driver with two changes. The text of a
// migration and the note of its version are one transaction: the original notes
// "begun", runs, and notes "done", so that a kill in between leaves a mark that
// only a person can clear. The price is that a migration cannot hold statements
// that refuse a transaction, such as CREATE INDEX CONCURRENTLY. And waiting for
// another migrator ends with the context.
type atomicDriver struct {
	database.Driver
	ctx    context.Context
	db     *sql.DB
	locked *sql.Conn // the session that holds the lock
	// next is the version that the migration about to run leads to.
	next int
}

// openDriver connects on its own; closing the driver closes the connection.
func openDriver(ctx context.Context, dsn string) (database.Driver, error) {
	config, err := pgx.ParseConfig(dsn)
	if err != nil {
		return nil, fmt.Errorf("store: migrate: %w", err)
	}
	db := stdlib.OpenDB(*config)
	if err := db.PingContext(ctx); err != nil {
		db.Close()
		return nil, fmt.Errorf("store: migrate: %w", err)
	}
	driver, err := migratepgx.WithInstance(db, &migratepgx.Config{})
	if err != nil {
		db.Close()
		return nil, fmt.Errorf("store: migrate: %w", err)
	}
	return &atomicDriver{Driver: driver, ctx: ctx, db: db, next: database.NilVersion}, nil
}

// Lock waits for the turn of this migrator.
func (d *atomicDriver) Lock() error {
	conn, err := d.db.Conn(d.ctx)
	if err != nil {
		return err
	}
	if _, err := conn.ExecContext(d.ctx, `SELECT pg_advisory_lock($1)`, migrateLock); err != nil {
		return errors.Join(err, conn.Close())
	}
	d.locked = conn
	return nil
}

// Unlock ends the turn.
func (d *atomicDriver) Unlock() error {
	_, err := d.locked.ExecContext(context.WithoutCancel(d.ctx), `SELECT pg_advisory_unlock($1)`, migrateLock)
	return errors.Join(err, d.locked.Close())
}

// SetVersion is called with dirty true before a migration and false after it. The
// first call only remembers the version, the second finds it already noted.
func (d *atomicDriver) SetVersion(version int, dirty bool) error {
	if dirty {
		d.next = version
		return nil
	}
	return d.Driver.SetVersion(version, false)
}

// Run applies one migration and notes its version.
func (d *atomicDriver) Run(migration io.Reader) error {
	text, err := io.ReadAll(migration)
	if err != nil {
		return err
	}
	tx, err := d.db.Begin()
	if err != nil {
		return err
	}
	defer func() { _ = tx.Rollback() }() // does nothing after a commit
	if _, err := tx.Exec(string(text)); err != nil {
		return database.Error{OrigErr: err, Err: "migration failed, nothing of it was applied", Query: text}
	}
	if _, err := tx.Exec(`TRUNCATE schema_migrations`); err != nil {
		return err
	}
	if d.next != database.NilVersion {
		if _, err := tx.Exec(`INSERT INTO schema_migrations (version, dirty) VALUES ($1, false)`, d.next); err != nil {
			return err
		}
	}
	return tx.Commit()
}
