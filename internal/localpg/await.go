//go:build unix

package localpg

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/cenkalti/backoff/v5"
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

// pollEvery is the wait between looks at something that takes some milliseconds.
const pollEvery = 5 * time.Millisecond

// poll does something again and again until it succeeds, fails for good ([backoff.Permanent]) or ctx ends.
func poll(ctx context.Context, do func() error) error {
	_, err := backoff.Retry(ctx, func() (struct{}, error) { return struct{}{}, do() },
		backoff.WithBackOff(backoff.NewConstantBackOff(pollEvery)), backoff.WithMaxElapsedTime(0))
	return err
}

// await polls until the database answers, creating it when the cluster is new.
func (s *Server) await(ctx context.Context) error {
	err := poll(ctx, func() error {
		err := s.answer(ctx)
		var pgErr *pgconn.PgError
		switch {
		case errors.As(err, &pgErr) && pgErr.Code != cannotConnectNow && pgErr.Code != tooManyClients:
			return backoff.Permanent(err)
		case err != nil && s.proc.ended():
			return backoff.Permanent(fmt.Errorf("%w (%v)", errEnded, s.proc.cmd.ProcessState))
		}
		return err
	})
	if err != nil {
		return s.startError("postgres", err)
	}
	return nil
}

// answer makes one attempt to reach the database, and makes sure that the service's role is there.
func (s *Server) answer(ctx context.Context) error {
	err := s.execute(ctx, Database, makeServiceRole)
	var pgErr *pgconn.PgError
	if errors.As(err, &pgErr) && pgErr.Code == noSuchDatabase {
		// With the role, the only statements outside the store: they make the place the store works in.
		if err := s.execute(ctx, "postgres", "CREATE DATABASE "+Database); err != nil {
			return err
		}
		return s.execute(ctx, Database, makeServiceRole)
	}
	return err
}

// makeServiceRole makes the role that the service works as, also in a cluster from the time when
// the service worked as the owner. What it may do the store grants, after the migrations. It takes
// nothing for granted from the roles that it may become.
const makeServiceRole = `
	DO $$ BEGIN
		IF NOT EXISTS (SELECT FROM pg_roles WHERE rolname = '` + ServiceRole + `') THEN
			CREATE ROLE ` + ServiceRole + ` LOGIN NOINHERIT NOSUPERUSER NOCREATEDB NOCREATEROLE NOREPLICATION NOBYPASSRLS;
		END IF;
	END $$`

func (s *Server) execute(ctx context.Context, database, statement string) error {
	ctx, cancel := context.WithTimeout(ctx, 10*time.Second)
	defer cancel()
	conn, err := pgconn.Connect(ctx, socketDSN(s.socket, Owner, database))
	if err != nil {
		return err
	}
	defer conn.Close(context.WithoutCancel(ctx))
	return conn.Exec(ctx, statement).Close()
}
