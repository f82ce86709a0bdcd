package main

import (
	"fmt"
	"strings"
	"testing"

	"commensal/db"
	"commensal/internal/store/dbtest"
	"commensal/internal/store/migration"
)

func TestMigrationsGoUpAndDownAndSayWhereTheyStand(t *testing.T) {
	t.Parallel()
	env := environment{"DATABASE_URL": dbtest.NewEmpty(t)}
	state, err := migration.New(env["DATABASE_URL"], db.MigrationsFS()).Status(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	latest := int(state.Latest)
	for _, step := range []struct {
		args []string
		at   int
		note string
	}{
		{[]string{"status"}, 0, "migrate up"},
		{[]string{"up"}, latest, "up to date"},
		{[]string{"up"}, latest, "up to date"},
		{[]string{"down"}, latest - 1, "migrate up"},
		{[]string{"status"}, latest - 1, "migrate up"},
		{[]string{"down", "1000"}, 0, "migrate up"},
		{[]string{"up"}, latest, "up to date"},
	} {
		out := mustRun(t, env, append([]string{"migrate"}, step.args...)...)
		if want := fmt.Sprintf("migration %d of %d: ", step.at, latest); !strings.HasPrefix(out, want) || !strings.Contains(out, step.note) {
			t.Errorf("%v says %q, want %q and %q", step.args, out, want, step.note)
		}
	}
}

func TestMigrateLeavesANewerDatabaseAlone(t *testing.T) {
	t.Parallel()
	env := environment{"DATABASE_URL": dbtest.New(t)}
	setSchemaVersion(t, env["DATABASE_URL"], 999999)
	if out := mustRun(t, env, "migrate", "status"); !strings.Contains(out, "a newer commensal") {
		t.Errorf("status says %q", out)
	}
	for _, command := range []string{"up", "down"} {
		if status, _, stderr := run(t, env, "migrate", command); status != exitFailure || !strings.Contains(stderr, "newer") {
			t.Errorf("%s: status %d, %s", command, status, stderr)
		}
	}
}

// A migration taken back takes values with it; the next load has to bring them back.
func TestACatalogueLoadedAfterAStepDownAndUpIsWhole(t *testing.T) {
	t.Parallel()
	env := environment{"DATABASE_URL": dbtest.New(t)}
	mustRun(t, env, "catalogue", "load")
	whole := mustRun(t, env, "catalogue", "export", "--stored", "--format", "json")
	for steps := 1; steps <= 3; steps++ {
		mustRun(t, env, "migrate", "down", fmt.Sprint(steps))
		mustRun(t, env, "migrate", "up")
		mustRun(t, env, "catalogue", "load")
		if got := mustRun(t, env, "catalogue", "export", "--stored", "--format", "json"); got != whole {
			t.Errorf("after %d down and up, loading gives another catalogue", steps)
		}
	}
}
