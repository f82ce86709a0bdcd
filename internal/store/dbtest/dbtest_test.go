package dbtest_test

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"

	"commensal/internal/store/dbtest"

	"github.com/jackc/pgx/v5"
)

func TestMain(m *testing.M) { dbtest.Main(m) }

func connect(t *testing.T, dsn string) *pgx.Conn {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), time.Minute)
	t.Cleanup(cancel)
	conn, err := pgx.Connect(ctx, dsn)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { conn.Close(context.Background()) })
	return conn
}

func TestEachTestHasAMigratedDatabaseOfItsOwn(t *testing.T) {
	t.Parallel()
	for i := range 4 {
		t.Run(fmt.Sprint("test ", i), func(t *testing.T) {
			t.Parallel()
			conn := connect(t, dbtest.New(t))
			var rows int
			if err := conn.QueryRow(t.Context(), `SELECT count(*) FROM catalogue_revisions`).Scan(&rows); err != nil {
				t.Fatalf("the database is not migrated: %v", err)
			}
			if rows != 0 {
				t.Errorf("somebody else's %d rows are in it", rows)
			}
			if _, err := conn.Exec(t.Context(), `INSERT INTO catalogue_revisions (content_hash, species_count) VALUES (sha256('x'), 0)`); err != nil {
				t.Fatal(err)
			}
		})
	}
}

func TestADatabaseIsDroppedWithItsTest(t *testing.T) {
	t.Parallel()
	outer := connect(t, dbtest.NewEmpty(t))
	var name string
	t.Run("inner", func(t *testing.T) {
		conn := connect(t, dbtest.New(t)) // still connected at the end
		if err := conn.QueryRow(t.Context(), `SELECT current_database()`).Scan(&name); err != nil {
			t.Fatal(err)
		}
	})
	var left int
	if err := outer.QueryRow(t.Context(), `SELECT count(*) FROM pg_database WHERE datname = $1`, name).Scan(&left); err != nil {
		t.Fatal(err)
	}
	if name == "" || left != 0 {
		t.Errorf("database %q is left behind", name)
	}
}

func TestAnEmptyDatabaseHasNoTables(t *testing.T) {
	t.Parallel()
	var tables int
	if err := connect(t, dbtest.NewEmpty(t)).QueryRow(t.Context(), `SELECT count(*) FROM pg_tables WHERE schemaname = 'public'`).Scan(&tables); err != nil {
		t.Fatal(err)
	}
	if tables != 0 {
		t.Errorf("it has %d tables", tables)
	}
}

// rerun runs one test of this binary in surroundings of its own.
func rerun(t *testing.T, test string, env ...string) (output string, passed bool) {
	t.Helper()
	cmd := exec.Command(os.Args[0], "-test.run", "^"+test+"$", "-test.v")
	cmd.Env = append(append(os.Environ(), "COMMENSAL_TEST_DB=", "TEST_DATABASE_URL="), env...)
	out, err := cmd.CombinedOutput()
	return string(out), err == nil
}

func TestWithoutAnyDatabaseTestsFailAndSayWhatToInstall(t *testing.T) {
	t.Parallel()
	out, passed := rerun(t, "TestAnEmptyDatabaseHasNoTables", "COMMENSAL_PG_BINDIR=/nowhere", "DOCKER_HOST=unix:///nowhere", "TESTCONTAINERS_RYUK_DISABLED=true")
	if passed || strings.Contains(out, "SKIP") {
		t.Errorf("the test did not fail:\n%s", out)
	}
	for _, want := range []string{"apt-get install postgresql", "brew install postgresql@16", "no Docker engine answers", "TEST_DATABASE_URL=postgres://"} {
		if !strings.Contains(out, want) {
			t.Errorf("the message lacks %q:\n%s", want, out)
		}
	}
}

func TestAWayThatIsInsistedOnIsNotReplaced(t *testing.T) {
	t.Parallel()
	for name, test := range map[string]struct {
		env  []string
		want string
	}{
		"a way that does not exist": {[]string{"COMMENSAL_TEST_DB=carrier pigeon"}, "it can be url, local or container"},
		"a url that is not set":     {[]string{"COMMENSAL_TEST_DB=url"}, "TEST_DATABASE_URL is not set"},
		"no binaries":               {[]string{"COMMENSAL_TEST_DB=local", "COMMENSAL_PG_BINDIR=/nowhere"}, "/nowhere"},
		"no engine":                 {[]string{"COMMENSAL_TEST_DB=container", "DOCKER_HOST=unix:///nowhere", "TESTCONTAINERS_RYUK_DISABLED=true"}, "no Docker engine answers"},
	} {
		out, passed := rerun(t, "TestAnEmptyDatabaseHasNoTables", test.env...)
		if passed || !strings.Contains(out, test.want) {
			t.Errorf("%s: passed %v, want a failure with %q:\n%s", name, passed, test.want, out)
		}
	}
}

func TestAServerByURLIsSharedAndLeftAsItWas(t *testing.T) {
	t.Parallel()
	dsn := dbtest.NewEmpty(t)
	conn := connect(t, dsn)
	if out, passed := rerun(t, "TestEachTestHasAMigratedDatabaseOfItsOwn", "COMMENSAL_TEST_DB=url", "TEST_DATABASE_URL="+dsn); !passed {
		t.Fatal(out)
	}
	// This process has a template and clones of its own on the server: count others'.
	var left int
	if err := conn.QueryRow(t.Context(), `SELECT count(*) FROM pg_database WHERE datname LIKE 'commensal\_test\_%' AND datname NOT LIKE $1`,
		fmt.Sprintf(`commensal\_test\_%d\_%%`, os.Getpid())).Scan(&left); err != nil {
		t.Fatal(err)
	}
	if left != 0 {
		t.Errorf("%d databases are left on the server", left)
	}
}

func TestATestBinaryWithoutMainIsToldSo(t *testing.T) {
	t.Parallel()
	dir, err := os.MkdirTemp(".", "nomain")
	if err != nil {
		t.Fatal(err)
	}
	defer os.RemoveAll(dir)
	source := "package nomain\n\nimport (\n\t\"testing\"\n\n\t\"commensal/internal/store/dbtest\"\n)\n\nfunc TestX(t *testing.T) { dbtest.New(t) }\n"
	if err := os.WriteFile(dir+"/x_test.go", []byte(source), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("go", "test", "./"+dir).CombinedOutput()
	if err == nil || !strings.Contains(string(out), "needs func TestMain") {
		t.Errorf("got %v:\n%s", err, out)
	}
}
