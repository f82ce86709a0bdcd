//go:build unix

package localpg

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5/pgconn"
)

// errEnded says that the postmaster ended before it answered.
var errEnded = errors.New("it ended before it answered")

// Conditions of PostgreSQL, by SQLSTATE.
const (
	cannotConnectNow = "57P03" // starting up, recovering or shutting down
	noSuchDatabase   = "3D000"
	tooManyClients   = "53300"
)

// await polls until the database answers, creating it when the cluster is new.
func (s *Server) await(ctx context.Context) error {
	for {
		err := s.answer(ctx)
		if err == nil {
			return nil
		}
		var pgErr *pgconn.PgError
		if errors.As(err, &pgErr) && pgErr.Code != cannotConnectNow && pgErr.Code != tooManyClients {
			return s.startError("postgres", err)
		}
		select {
		case <-s.proc.done:
			return s.startError("postgres", fmt.Errorf("%w (%v)", errEnded, s.proc.cmd.ProcessState))
		case <-ctx.Done():
			return s.startError("postgres", context.Cause(ctx))
		case <-time.After(5 * time.Millisecond):
		}
	}
}

// answer makes one attempt to reach the database.
func (s *Server) answer(ctx context.Context) error {
	err := s.execute(ctx, Database, "")
	var pgErr *pgconn.PgError
	if errors.As(err, &pgErr) && pgErr.Code == noSuchDatabase {
		// The one statement outside the store: it makes the place the store works in.
		return s.execute(ctx, "postgres", "CREATE DATABASE "+Database)
	}
	return err
}

func (s *Server) execute(ctx context.Context, database, statement string) error {
	ctx, cancel := context.WithTimeout(ctx, 10*time.Second)
	defer cancel()
	conn, err := pgconn.Connect(ctx, s.dsn(database))
	if err != nil {
		return err
	}
	defer conn.Close(context.WithoutCancel(ctx))
	return conn.Exec(ctx, statement).Close()
}
