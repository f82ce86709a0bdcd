package store_test

import (
	"context"
	"testing"
	"time"

	"commensal/internal/store"
	"commensal/internal/store/dbtest"

	"github.com/jackc/pgx/v5"
)

func TestMain(m *testing.M) { dbtest.Main(m) }

// open opens a store on a database of the test's own.
func open(tb testing.TB, opts store.Options) (s *store.Store, dsn string) {
	tb.Helper()
	dsn = dbtest.New(tb)
	return openOn(tb, dsn, opts), dsn
}

func openOn(tb testing.TB, dsn string, opts store.Options) *store.Store {
	tb.Helper()
	s, err := store.Open(context.Background(), dsn, opts)
	if err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(s.Close)
	return s
}

func testContext(tb testing.TB) context.Context {
	tb.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), 2*time.Minute)
	tb.Cleanup(cancel)
	return ctx
}

// execute runs SQL beside the store.
func execute(tb testing.TB, dsn, sql string) {
	tb.Helper()
	ctx := testContext(tb)
	conn, err := pgx.Connect(ctx, dsn)
	if err != nil {
		tb.Fatal(err)
	}
	defer conn.Close(ctx)
	if _, err := conn.Exec(ctx, sql); err != nil {
		tb.Fatalf("%s: %v", sql, err)
	}
}

// texts runs SQL beside the store and returns its one column.
func texts(tb testing.TB, dsn, sql string) []string {
	tb.Helper()
	ctx := testContext(tb)
	conn, err := pgx.Connect(ctx, dsn)
	if err != nil {
		tb.Fatal(err)
	}
	defer conn.Close(ctx)
	rows, err := conn.Query(ctx, sql)
	if err != nil {
		tb.Fatal(err)
	}
	list, err := pgx.CollectRows(rows, pgx.RowTo[string])
	if err != nil {
		tb.Fatalf("%s: %v", sql, err)
	}
	return list
}
