package store_test

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"commensal/db"
	"commensal/internal/store"
	"commensal/internal/store/dbtest"
	"commensal/internal/store/migration"

	"github.com/jackc/pgx/v5"
)

var migrations = db.MigrationsFS()

func status(tb testing.TB, m *migration.Migrator) migration.Status {
	tb.Helper()
	st, err := m.Status(testContext(tb))
	if err != nil {
		tb.Fatal(err)
	}
	return st
}

// schema lists every column, constraint and index of the database.
func schema(tb testing.TB, dsn string) []string {
	tb.Helper()
	return texts(tb, dsn, `
		SELECT format('column %s.%s %s %s %s', table_name, column_name, data_type, is_nullable, column_default)
		FROM information_schema.columns WHERE table_schema = 'public' AND table_name <> 'schema_migrations'
		UNION ALL
		SELECT format('constraint %s %s %s', conrelid::regclass, conname, pg_get_constraintdef(oid))
		FROM pg_constraint WHERE connamespace = 'public'::regnamespace AND conrelid <> 'schema_migrations'::regclass
		UNION ALL
		SELECT format('index %s', indexdef) FROM pg_indexes WHERE schemaname = 'public' AND tablename <> 'schema_migrations'
		ORDER BY 1`)
}

func TestEveryMigrationCanBeTakenBackAndAppliedAgain(t *testing.T) {
	t.Parallel()
	dsn := dbtest.NewEmpty(t)
	m := migration.New(dsn, migrations)
	if st := status(t, m); st.Current != 0 || st.Latest == 0 || st.Dirty {
		t.Fatalf("an empty database has status %+v", st)
	}
	if err := m.Up(testContext(t)); err != nil {
		t.Fatal(err)
	}
	whole := schema(t, dsn)
	latest := status(t, m).Latest
	if got := status(t, m); got != (migration.Status{Current: latest, Latest: latest}) {
		t.Fatalf("after up the status is %+v", got)
	}
	for version := latest; version > 0; version-- {
		if err := m.Down(testContext(t), 1); err != nil {
			t.Fatalf("down from %d: %v", version, err)
		}
		if got := status(t, m).Current; got != version-1 {
			t.Fatalf("down from %d leads to %d", version, got)
		}
	}
	if left := schema(t, dsn); len(left) != 0 {
		t.Errorf("after all the way down there remain %v", left)
	}
	if err := m.Up(testContext(t)); err != nil {
		t.Fatal(err)
	}
	if again := schema(t, dsn); !slices.Equal(again, whole) {
		t.Errorf("up, down and up again gives\n%s\nwant\n%s", strings.Join(again, "\n"), strings.Join(whole, "\n"))
	}
	if err := m.Up(testContext(t)); err != nil {
		t.Errorf("up with nothing to do: %v", err)
	}
}

func TestDownStopsAtTheEmptyDatabase(t *testing.T) {
	t.Parallel()
	dsn := dbtest.New(t)
	m := migration.New(dsn, migrations)
	for range 2 {
		if err := m.Down(testContext(t), 1000); err != nil {
			t.Fatal(err)
		}
		if got := status(t, m).Current; got != 0 {
			t.Errorf("down leads to %d", got)
		}
	}
	if err := m.Down(testContext(t), 0); err == nil {
		t.Error("down by no steps should be an error")
	}
}

func TestMigrationsAreNumberedInPairsWithoutGaps(t *testing.T) {
	t.Parallel()
	files, err := fs.Glob(migrations, "*.sql")
	if err != nil {
		t.Fatal(err)
	}
	for i, name := range files { // down before up, by name
		number, direction := i/2+1, []string{".down.sql", ".up.sql"}[i%2]
		if !strings.HasPrefix(name, fmt.Sprintf("%06d_", number)) || !strings.HasSuffix(name, direction) {
			t.Errorf("file %d is %s, want one of number %d that ends in %s", i, name, number, direction)
		}
		text, err := fs.ReadFile(migrations, name)
		if err != nil {
			t.Fatal(err)
		}
		if !strings.HasPrefix(string(text), "-- ") {
			t.Errorf("%s has no header that says why", name)
		}
	}
}

func TestEveryTableSaysWhatItIsFor(t *testing.T) {
	t.Parallel()
	dsn := dbtest.New(t)
	if bare := texts(t, dsn, `
		SELECT relname::text FROM pg_class
		WHERE relnamespace = 'public'::regnamespace AND relkind = 'r' AND relname <> 'schema_migrations'
		AND obj_description(oid, 'pg_class') IS NULL`); len(bare) != 0 {
		t.Errorf("tables without a comment: %v", bare)
	}
}

// broken has a third migration whose second statement fails.
func broken() fstest.MapFS {
	file := func(text string) *fstest.MapFile { return &fstest.MapFile{Data: []byte(text)} }
	return fstest.MapFS{
		"000001_a.up.sql": file("CREATE TABLE a (); CREATE TABLE aa ();"), "000001_a.down.sql": file("DROP TABLE a; DROP TABLE aa;"),
		"000002_b.up.sql": file("CREATE TABLE b ();"), "000002_b.down.sql": file("DROP TABLE b;"),
		"000003_c.up.sql": file("CREATE TABLE c (); SELECT 1/0;"), "000003_c.down.sql": file("DROP TABLE c;"),
	}
}

func TestAFailedMigrationLeavesTheVersionBefore(t *testing.T) {
	t.Parallel()
	dsn := dbtest.NewEmpty(t)
	files := broken()
	if err := migration.New(dsn, files).Up(testContext(t)); err == nil {
		t.Fatal("the broken migration was applied")
	}
	if got := status(t, migration.New(dsn, files)); got != (migration.Status{Current: 2, Latest: 3}) {
		t.Errorf("the status is %+v, want version 2 of 3, not dirty", got)
	}
	tables := `SELECT relname::text FROM pg_class WHERE relnamespace = 'public'::regnamespace AND relkind = 'r' AND relname <> 'schema_migrations' ORDER BY 1`
	if got := texts(t, dsn, tables); !slices.Equal(got, []string{"a", "aa", "b"}) {
		t.Errorf("the tables are %v", got)
	}
	files["000003_c.up.sql"].Data = []byte("CREATE TABLE c ();")
	if err := migration.New(dsn, files).Up(testContext(t)); err != nil {
		t.Fatal(err)
	}
	if got := texts(t, dsn, tables); !slices.Equal(got, []string{"a", "aa", "b", "c"}) {
		t.Errorf("after the correction the tables are %v", got)
	}
}

func TestReplicasThatMigrateTogetherTakeTurns(t *testing.T) {
	t.Parallel()
	dsn := dbtest.NewEmpty(t)
	errs := make(chan error)
	for range 4 {
		go func() { errs <- migration.New(dsn, migrations).Up(context.Background()) }()
	}
	for range 4 {
		if err := <-errs; err != nil {
			t.Error(err)
		}
	}
	m := migration.New(dsn, migrations)
	if st := status(t, m); st.Current != st.Latest || st.Dirty {
		t.Errorf("the status is %+v", st)
	}
}

func TestWaitingForAnotherMigratorEndsWithTheContext(t *testing.T) {
	t.Parallel()
	dsn := dbtest.NewEmpty(t)
	conn, err := pgx.Connect(testContext(t), dsn)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.Background())
	if _, err := conn.Exec(testContext(t), `SELECT pg_advisory_lock($1)`, 0x636f6d6d); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(testContext(t), 300*time.Millisecond)
	defer cancel()
	if err := migration.New(dsn, migrations).Up(ctx); !errors.Is(err, context.DeadlineExceeded) {
		t.Errorf("got %v, want the context's error", err)
	}
	if st := status(t, migration.New(dsn, migrations)); st.Current != 0 {
		t.Errorf("it migrated to %d without its turn", st.Current)
	}
}

func TestTheSchemaIsComparedWithTheNewestMigration(t *testing.T) {
	t.Parallel()
	dsn := dbtest.New(t)
	newest := status(t, migration.New(dsn, migrations)).Latest
	s := openOn(t, dsn, store.Options{Migrations: migrations})
	if err := s.CheckSchema(testContext(t)); err != nil {
		t.Errorf("a migrated database: %v", err)
	}
	for _, test := range []struct {
		name, sql    string
		want         migration.SchemaError
		newer, older bool
		advice       string
	}{ // each starts from the one before
		{"an older database", `UPDATE schema_migrations SET version = version - 1`, migration.SchemaError{Have: newest - 1, Want: newest}, false, true, "migrate up"},
		{"a dirty one", `UPDATE schema_migrations SET dirty = true`, migration.SchemaError{Have: newest - 1, Want: newest, Dirty: true}, false, false, "by hand"},
		{"a newer one", `UPDATE schema_migrations SET version = version + 3, dirty = false`, migration.SchemaError{Have: newest + 2, Want: newest}, true, false, "newer program"},
		{"an empty one", `DROP TABLE schema_migrations`, migration.SchemaError{Want: newest}, false, true, "no tables"},
	} {
		execute(t, dsn, test.sql)
		err := s.CheckSchema(testContext(t))
		var got *migration.SchemaError
		if !errors.As(err, &got) || *got != test.want {
			t.Errorf("%s: got %v, want %+v", test.name, err, test.want)
			continue
		}
		if got.Newer() != test.newer || got.Older() != test.older || !strings.Contains(err.Error(), test.advice) {
			t.Errorf("%s: newer %v, older %v, %q", test.name, got.Newer(), got.Older(), err)
		}
	}
}

func TestADatabaseOfANewerProgramIsNotMigrated(t *testing.T) {
	t.Parallel()
	dsn := dbtest.New(t)
	execute(t, dsn, `UPDATE schema_migrations SET version = 9999`)
	m := migration.New(dsn, migrations)
	for name, err := range map[string]error{"up": m.Up(testContext(t)), "down": m.Down(testContext(t), 1)} {
		var got *migration.SchemaError
		if !errors.As(err, &got) || !got.Newer() {
			t.Errorf("%s: got %v, want a SchemaError for a newer database", name, err)
		}
	}
}
