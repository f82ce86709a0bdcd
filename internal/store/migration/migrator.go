package migration

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"time"

	"github.com/golang-migrate/migrate/v4"
	"github.com/golang-migrate/migrate/v4/source/iofs"
	"github.com/jackc/pgx/v5"
)

// migrationPatience bounds the wait for another replica that is migrating.
const migrationPatience = 5 * time.Minute

// Migrator brings a database to a version of the schema. It opens a connection of
// its own for each call, so it needs no store and may use another role.
type Migrator struct {
	dsn  string
	fsys fs.FS
}

// New prepares migrations for a database. fsys holds golang-migrate files
// (000001_name.up.sql, 000001_name.down.sql) at its root.
func New(dsn string, fsys fs.FS) *Migrator { return &Migrator{dsn: dsn, fsys: fsys} }

// Status is where a database stands.
type Status struct {
	Current uint // newest migration applied, 0 for none
	Latest  uint // newest migration known
	Dirty   bool // Current was begun by another tool and not finished
}

// Status reads the state of the schema. It writes nothing.
func (m *Migrator) Status(ctx context.Context) (Status, error) {
	newest, err := Latest(m.fsys)
	if err != nil {
		return Status{}, err
	}
	conn, err := pgx.Connect(ctx, m.dsn)
	if err != nil {
		return Status{}, fmt.Errorf("store: migrate: %w", err)
	}
	defer conn.Close(context.WithoutCancel(ctx))
	current, dirty, err := Version(ctx, conn)
	return Status{Current: current, Latest: newest, Dirty: dirty}, err
}

// Up applies every migration that is missing, in order, each in a transaction
// together with the note that it was applied: an interruption at any moment
// leaves a whole version. Replicas that migrate at the same time take turns, and
// the later ones find nothing to do. When ctx ends it stops after the migration
// under way and returns the context's error. A [SchemaError] means that the
// database is dirty or newer than the migrations known.
func (m *Migrator) Up(ctx context.Context) error {
	return m.run(ctx, func(mig *migrate.Migrate) error { return mig.Up() })
}

// Down takes back the last steps migrations and deletes what they held. It stops
// at the empty database. The promises of [Migrator.Up] hold.
func (m *Migrator) Down(ctx context.Context, steps int) error {
	if steps <= 0 {
		return fmt.Errorf("store: migrate: down needs a number of steps above 0, got %d", steps)
	}
	return m.run(ctx, func(mig *migrate.Migrate) error {
		version, _, err := mig.Version()
		if errors.Is(err, migrate.ErrNilVersion) {
			return nil
		}
		if err != nil {
			return err
		}
		known, err := countUpTo(m.fsys, version)
		if err != nil || known == 0 {
			return err
		}
		return mig.Steps(-min(steps, known))
	})
}

func (m *Migrator) run(ctx context.Context, do func(*migrate.Migrate) error) (err error) {
	status, err := m.Status(ctx)
	if err != nil {
		return err
	}
	if status.Dirty || status.Current > status.Latest {
		return &SchemaError{Have: status.Current, Want: status.Latest, Dirty: status.Dirty}
	}
	src, err := iofs.New(m.fsys, ".")
	if err != nil {
		return fmt.Errorf("store: migrate: %w", err)
	}
	driver, err := openDriver(ctx, m.dsn)
	if err != nil {
		return errors.Join(err, src.Close())
	}
	mig, err := migrate.NewWithInstance("iofs", src, "pgx5", driver)
	if err != nil {
		return errors.Join(fmt.Errorf("store: migrate: %w", err), src.Close(), driver.Close())
	}
	mig.LockTimeout = migrationPatience
	stop := context.AfterFunc(ctx, func() { mig.GracefulStop <- true })
	defer func() {
		stop()
		sourceErr, driverErr := mig.Close()
		err = errors.Join(err, sourceErr, driverErr)
	}()
	if err := do(mig); err != nil && !errors.Is(err, migrate.ErrNoChange) {
		return fmt.Errorf("store: migrate: %w", err)
	}
	return ctx.Err()
}

// countUpTo is the number of migrations from the first to version.
func countUpTo(fsys fs.FS, version uint) (int, error) {
	src, err := iofs.New(fsys, ".")
	if err != nil {
		return 0, fmt.Errorf("store: migrate: %w", err)
	}
	defer src.Close()
	n := 0
	for v, err := src.First(); err == nil && v <= version; v, err = src.Next(v) {
		n++
	}
	return n, nil
}
