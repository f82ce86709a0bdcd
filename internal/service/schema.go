package service

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"time"

	"commensal/db"
	"commensal/internal/localpg"
	"commensal/internal/store"
	"commensal/internal/store/migration"

	"github.com/cenkalti/backoff/v5"
)

// A database server may be a little later than its service, above all where both start
// together: so long is it waited for, and so often asked.
const (
	databasePatience = 20 * time.Second
	databaseRetry    = 500 * time.Millisecond
)

// openStore connects to a database whose schema is this program's. Where migrate is
// set, missing migrations are applied first; otherwise they are an error, as is a
// schema from a newer program always. A [migration.SchemaError] says which.
func openStore(ctx context.Context, access localpg.Access, options store.Options, migrate bool, log *slog.Logger) (*store.Store, error) {
	if access.Owner != access.Service {
		if err := prepareAsOwner(ctx, access.Owner, log); err != nil {
			return nil, err
		}
	}
	options.Migrations = db.MigrationsFS()
	st, err := store.Open(ctx, access.Service, options)
	if err != nil {
		return nil, err
	}
	err = matchSchema(ctx, st, access.Owner, migrate, log)
	if err == nil {
		err = st.CheckRoles(ctx)
	}
	if err != nil {
		st.Close()
		return nil, err
	}
	return st, nil
}

// prepareAsOwner brings a private database up to this program's schema and lets the service's role in.
func prepareAsOwner(ctx context.Context, dsn string, log *slog.Logger) error {
	m := migration.New(dsn, db.MigrationsFS())
	state, err := m.Status(ctx)
	if err != nil {
		return err
	}
	if state.Current != state.Latest || state.Dirty {
		log.Info("migrating the database", "from", state.Current, "to", state.Latest)
		if err := m.Up(ctx); err != nil {
			return err
		}
	}
	return m.Admit(ctx, localpg.ServiceRole)
}

func matchSchema(ctx context.Context, st *store.Store, dsn string, migrate bool, log *slog.Logger) error {
	if err := awaitDatabase(ctx, st, databasePatience, log); err != nil {
		return err
	}
	err := st.CheckSchema(ctx)
	var mismatch *migration.SchemaError
	if !errors.As(err, &mismatch) || !mismatch.Older() {
		return err
	}
	if !migrate {
		return fmt.Errorf("%w (serve --migrate does so at its start)", err)
	}
	log.Info("migrating the database", "from", mismatch.Have, "to", mismatch.Want)
	if err := migration.New(dsn, db.MigrationsFS()).Up(ctx); err != nil {
		return err
	}
	return st.CheckSchema(ctx)
}

// awaitDatabase waits until the database answers, at most as long as patience.
func awaitDatabase(ctx context.Context, st *store.Store, patience time.Duration, log *slog.Logger) error {
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	told := false
	var last error
	_, err := backoff.Retry(ctx, func() (struct{}, error) {
		last = st.Ping(ctx)
		return struct{}{}, last
	}, backoff.WithBackOff(backoff.NewConstantBackOff(databaseRetry)), forever, backoff.WithNotify(func(err error, _ time.Duration) {
		if !told {
			log.Warn("the database does not answer yet", "error", err, "patience", patience)
		}
		told = true
	}))
	if err != nil {
		return fmt.Errorf("the database that DATABASE_URL names does not answer: %w", last)
	}
	return nil
}
