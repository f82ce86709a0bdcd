package dbtest

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"net/url"
	"os"
	"strings"
	"sync/atomic"

	"commensal/db"
	"commensal/internal/store/migration"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"
)

// server is a PostgreSQL with a migrated template database. Names are unique to
// the process, so that test binaries can share one server.
type server struct {
	dsn    string
	admin  *pgxpool.Pool
	stop   func(context.Context) error
	prefix string
	copies string // how to copy the template
	count  atomic.Int64
}

// open finds a server and makes the template.
func open(ctx context.Context) (*server, error) {
	p, err := provide(ctx)
	if err != nil {
		return nil, err
	}
	srv := &server{dsn: p.dsn, stop: p.stop, prefix: fmt.Sprintf("commensal_test_%d_%s", os.Getpid(), strings.ToLower(rand.Text()[:8]))}
	if err := srv.prepare(ctx); err != nil {
		return nil, errors.Join(err, srv.close(ctx))
	}
	return srv, nil
}

func (s *server) prepare(ctx context.Context) error {
	config, err := pgxpool.ParseConfig(s.dsn)
	if err != nil {
		return err
	}
	config.MaxConns = 4
	if s.admin, err = pgxpool.NewWithConfig(ctx, config); err != nil {
		return err
	}
	var version int
	if err := s.admin.QueryRow(ctx, `SELECT current_setting('server_version_num')::int`).Scan(&version); err != nil {
		return err
	}
	if version >= 150000 { // before, copying files was the only strategy
		s.copies = " STRATEGY file_copy"
	}
	if _, err := s.admin.Exec(ctx, "CREATE DATABASE "+quote(s.template())); err != nil {
		return err
	}
	if err := migration.New(withDatabase(s.dsn, s.template()), db.MigrationsFS()).Up(ctx); err != nil {
		return err
	}
	// A template with a session open cannot be copied.
	_, err = s.admin.Exec(ctx, "ALTER DATABASE "+quote(s.template())+" ALLOW_CONNECTIONS false")
	return err
}

func (s *server) template() string { return s.prefix + "_template" }

// create makes a database and returns its name.
func (s *server) create(ctx context.Context, migrated bool) (string, error) {
	name := fmt.Sprintf("%s_%d", s.prefix, s.count.Add(1))
	statement := "CREATE DATABASE " + quote(name)
	if migrated {
		statement += " TEMPLATE " + quote(s.template()) + s.copies
	}
	_, err := s.admin.Exec(ctx, statement)
	return name, err
}

// drop removes a database, whoever is still connected to it.
func (s *server) drop(ctx context.Context, name string) error {
	_, err := s.admin.Exec(ctx, "DROP DATABASE IF EXISTS "+quote(name)+" WITH (FORCE)")
	return err
}

func (s *server) close(ctx context.Context) error {
	var err error
	if s.admin != nil {
		err = s.drop(ctx, s.template())
		s.admin.Close()
	}
	return errors.Join(err, s.stop(ctx))
}

func quote(name string) string { return pgx.Identifier{name}.Sanitize() }

// withDatabase is the connection string for another database on the server.
func withDatabase(dsn, name string) string {
	u, err := url.Parse(dsn)
	if err != nil || (u.Scheme != "postgres" && u.Scheme != "postgresql") {
		return dsn + " dbname=" + name // keyword=value form: the last one counts
	}
	u.Path = "/" + name
	query := u.Query()
	query.Del("dbname")
	u.RawQuery = query.Encode()
	return u.String()
}
