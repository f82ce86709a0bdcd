package service

import (
	"context"
	"errors"
	"log/slog"
	"time"

	"commensal/internal/localpg"
	"commensal/internal/store"

	"github.com/cenkalti/backoff/v5"
)

// database is where the data lives: the server that DATABASE_URL names, or a private
// one that runs as long as this value is open.
type database struct {
	access  localpg.Access
	private *localpg.Server // nil with DATABASE_URL
	options localpg.Options // of the private one
}

// openDatabase starts the private server unless DATABASE_URL names another.
func openDatabase(ctx context.Context, choice *Database, log *slog.Logger) (*database, error) {
	if choice.URL != "" {
		// Whoever names a server of their own names the role as well: one for everything.
		return &database{access: localpg.Access{Owner: string(choice.URL), Service: string(choice.URL)}}, nil
	}
	dir, err := choice.dir()
	if err != nil {
		return nil, err
	}
	d := &database{options: localpg.Options{DataDir: dir, Logger: log}}
	if d.private, err = localpg.Start(ctx, d.options); err != nil {
		return nil, err
	}
	d.access = d.private.Access()
	return d, nil
}

// Waits before a private server that has ended on its own is started again: the first,
// and the longest.
const (
	firstRestart = 100 * time.Millisecond
	lastRestart  = 10 * time.Second
)

// keepRunning starts a private server again whenever it ends on its own, killed for want
// of memory for example, until ctx ends. Its connection string stays the same. While it
// runs nothing else may use d.private.
func (d *database) keepRunning(ctx context.Context) {
	for {
		select {
		case <-ctx.Done():
			return
		case <-d.private.Done():
		}
		_, err := backoff.Retry(ctx, func() (struct{}, error) { return struct{}{}, d.restart(ctx) },
			growing(firstRestart, lastRestart), forever, backoff.WithNotify(func(err error, next time.Duration) {
				d.options.Logger.Error("private PostgreSQL cannot be started again; lookups go on", "error", err, "next", next)
			}))
		if err != nil {
			return // ctx has ended
		}
	}
}

// restart gives up what is left of the server and starts another on the same folder.
func (d *database) restart(ctx context.Context) error {
	if err := d.private.Stop(ctx); err != nil {
		d.options.Logger.Warn("what is left of the private PostgreSQL", "error", err)
	}
	srv, err := localpg.Start(ctx, d.options)
	if err == nil {
		d.private = srv
	}
	return err
}

// close stops the private server, if there is one.
func (d *database) close(ctx context.Context) error {
	if d.private == nil {
		return nil
	}
	return d.private.Stop(ctx)
}

// WithDatabase opens the database for one short piece of work, and logs nothing.
func WithDatabase(ctx context.Context, choice *Database, work func(localpg.Access) error) error {
	d, err := openDatabase(ctx, choice, slog.New(slog.DiscardHandler))
	if err != nil {
		return err
	}
	err = work(d.access)
	return errors.Join(err, d.close(context.WithoutCancel(ctx)))
}

// WithStore opens the database for one short piece of work, and migrates it first if it may.
func WithStore(ctx context.Context, choice *Database, migrate bool, work func(*store.Store) error) error {
	return WithDatabase(ctx, choice, func(access localpg.Access) error { return onStore(ctx, access, migrate, work) })
}

// StoreBeside is [WithStore], except that a private server that a running service holds is used as
// well. A private database is migrated.
func StoreBeside(ctx context.Context, choice *Database, work func(*store.Store) error) error {
	err := WithStore(ctx, choice, choice.Private(), work)
	var held *localpg.InUseError
	if !errors.As(err, &held) {
		return err
	}
	access, err := localpg.Running(held.Dir)
	if err != nil {
		return err
	}
	return onStore(ctx, access, choice.Private(), work)
}

func onStore(ctx context.Context, access localpg.Access, migrate bool, work func(*store.Store) error) error {
	st, err := openStore(ctx, access, store.Options{}, migrate, slog.New(slog.DiscardHandler))
	if err != nil {
		return err
	}
	defer st.Close()
	return work(st)
}
