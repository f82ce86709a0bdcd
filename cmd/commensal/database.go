package main

import (
	"context"
	"errors"
	"log/slog"

	"commensal/internal/localpg"
)

// database is where the data lives: the server that DATABASE_URL names, or a private
// one that runs as long as this value is open.
type database struct {
	dsn     string
	private *localpg.Server // nil with DATABASE_URL
}

// openDatabase starts the private server unless DATABASE_URL names another.
func openDatabase(ctx context.Context, s *settings, log *slog.Logger) (*database, error) {
	if s.database != "" {
		return &database{dsn: string(s.database)}, nil
	}
	dir, err := s.privateDir()
	if err != nil {
		return nil, err
	}
	srv, err := localpg.Start(ctx, localpg.Options{DataDir: dir, Logger: log})
	if err != nil {
		return nil, err
	}
	return &database{dsn: srv.DSN(), private: srv}, nil
}

// close stops the private server, if there is one.
func (d *database) close(ctx context.Context) error {
	if d.private == nil {
		return nil
	}
	return d.private.Stop(ctx)
}

// withDatabase opens the database for one short piece of work.
func withDatabase(ctx context.Context, s *settings, log *slog.Logger, work func(dsn string) error) error {
	d, err := openDatabase(ctx, s, log)
	if err != nil {
		return err
	}
	err = work(d.dsn)
	return errors.Join(err, d.close(context.WithoutCancel(ctx)))
}
