//go:build linux

package torture

import (
	"context"
	"fmt"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"commensal/internal/localpg"
	"commensal/internal/localpg/localpgtest"

	"github.com/jackc/pgx/v5"
)

// commands are the blocks of deploy/README.md that are marked as a step of a restore, in order.
func commands(t *testing.T, step string) string {
	t.Helper()
	text, err := os.ReadFile("../../deploy/README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, after, ok := strings.Cut(string(text), "```text\n# "+step+"\n")
	block, _, closed := strings.Cut(after, "```")
	if !ok || !closed {
		t.Fatalf("deploy/README.md has no step %q", step)
	}
	return block
}

// drill is a PostgreSQL of an operator's own, and what they type.
type drill struct {
	t    *testing.T
	dir  string
	env  []string
	port map[string]string // of the clusters
}

// step carries out what stands in deploy/README.md, as the user who runs PostgreSQL.
func (d *drill) step(name string, more ...string) {
	d.t.Helper()
	d.shell(commands(d.t, name), more...)
}

func (d *drill) shell(script string, more ...string) {
	d.t.Helper()
	cmd := exec.CommandContext(d.t.Context(), "sh", "-eu", "-c", script)
	cmd.Dir, cmd.Env = d.dir, append(d.env, more...)
	cmd.SysProcAttr = credentialed(d.t)
	if out, err := cmd.CombinedOutput(); err != nil {
		d.t.Fatalf("%v\n%s\n%s", err, script, out)
	}
}

// dsn leads to a cluster.
func (d *drill) dsn(cluster, user string) string {
	return "postgres://" + user + "@" + host + ":" + d.port[cluster] + "/commensal?sslmode=disable"
}

// rows are what a query finds in a cluster, as its administrator sees it.
func (d *drill) rows(cluster, query string) []string {
	d.t.Helper()
	conn, err := pgx.Connect(d.t.Context(), d.dsn(cluster, "postgres"))
	if err != nil {
		d.t.Fatal(err)
	}
	defer conn.Close(context.Background())
	found, err := conn.Query(d.t.Context(), query)
	if err != nil {
		d.t.Fatal(err)
	}
	texts, err := pgx.CollectRows(found, pgx.RowTo[string])
	if err != nil {
		d.t.Fatalf("%s: %v", query, err)
	}
	return texts
}

// unbound is how many tanks the service's role sees that acts for no organization.
func (d *drill) unbound(cluster string) (seen int) {
	d.t.Helper()
	conn, err := pgx.Connect(d.t.Context(), d.dsn(cluster, "commensal_login"))
	if err != nil {
		d.t.Fatal(err)
	}
	defer conn.Close(context.Background())
	if _, err := conn.Exec(d.t.Context(), `SET ROLE commensal_service`); err != nil {
		d.t.Fatal(err)
	}
	if err := conn.QueryRow(d.t.Context(), `SELECT count(*) FROM tanks`).Scan(&seen); err != nil {
		d.t.Fatal(err)
	}
	return seen
}

// newDrill starts a cluster with an archive, as the README says, and a database for the service.
func newDrill(t *testing.T) *drill {
	t.Helper()
	binaries, err := localpg.FindBinaries(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	d := &drill{t: t, dir: localpgtest.Folder(t), port: map[string]string{"primary": freePort(t), "restored": freePort(t)}}
	if who := nobodySpecial(t); who != nil {
		if err := os.Chown(d.dir, int(who.Uid), int(who.Gid)); err != nil {
			t.Fatal(err)
		}
	}
	in := func(name string) string { return filepath.Join(d.dir, name) }
	d.env = []string{"PATH=" + binaries[0].Dir + ":" + os.Getenv("PATH"), "LC_ALL=C.UTF-8", "DATA=" + in("primary"), "ARCHIVE=" + in("archive"), "BACKUP=" + in("backup"), "RESTORED=" + in("restored"),
		"PGHOST=" + host, "PGUSER=postgres", "PGPORT=" + d.port["primary"], "PORT=" + d.port["restored"]}
	t.Cleanup(func() {
		for _, cluster := range []string{"primary", "restored"} {
			stop := exec.Command(filepath.Join(binaries[0].Dir, "pg_ctl"), "-D", in(cluster), "-m", "immediate", "-w", "stop")
			stop.SysProcAttr = credentialed(t)
			_ = stop.Run() // what never started need not stop
		}
	})
	d.shell(`initdb -D "$DATA" -U postgres --auth=trust --encoding=UTF8 --locale=C.UTF-8 --data-checksums >"$DATA.log"; mkdir "$ARCHIVE"`)
	d.step("Archive")
	d.shell(`pg_ctl -D "$DATA" -l "$DATA.log" -w -o "-p $PGPORT -c listen_addresses=$PGHOST -c unix_socket_directories=$PWD" start >/dev/null
		psql -q -c 'CREATE ROLE commensal LOGIN CREATEROLE' -c 'CREATE ROLE commensal_login LOGIN' -c 'CREATE DATABASE commensal OWNER commensal'`)
	return d
}

// guards are what keeps organizations apart, and who may do what.
var guards = []string{
	`SELECT format('%s %s %s', relname, relrowsecurity, relforcerowsecurity) FROM pg_class WHERE relnamespace = 'public'::regnamespace AND relkind = 'r' ORDER BY 1`,
	`SELECT format('%s %s %s %s %s %s', tablename, policyname, roles, cmd, qual, with_check) FROM pg_policies ORDER BY 1`,
	`SELECT format('%s %s %s %s %s %s', rolname, rolsuper, rolbypassrls, rolcreaterole, rolcanlogin, rolinherit) FROM pg_roles ORDER BY 1`,
	`SELECT format('%s in %s', member::regrole, roleid::regrole) FROM pg_auth_members ORDER BY 1`,
	`SELECT format('%s %s %s', grantee, table_name, privilege_type) FROM information_schema.role_table_grants WHERE table_schema = 'public' ORDER BY 1`,
	`SELECT format('%s %s', tgrelid::regclass, pg_get_triggerdef(oid)) FROM pg_trigger WHERE NOT tgisinternal ORDER BY 1`,
}

// A backup is taken while shops work, and an accident happens. What is restored to the moment before has all
// that was acknowledged until then, nothing from after, and keeps organizations apart as before.
func TestARestoreToAMomentHasWhatWasAcknowledgedUntilThen(t *testing.T) {
	t.Parallel()
	d := newDrill(t)
	owner := newService(t, []string{"DATABASE_URL=" + d.dsn("primary", "commensal")})
	owner.run("migrate", "up", "--admit", "commensal_login")
	owner.run("catalogue", "offer")
	s := serve(t, []string{"DATABASE_URL=" + d.dsn("primary", "commensal_login")})
	key := s.key()
	strangersKey := s.run("key", "create", "--organization", "Somebody else", "--scope", "tanks:read,tanks:write")

	where := &atomic.Value{} // the service that is asked
	where.Store(s)
	url := func(path string) string { return where.Load().(*service).url(path) }
	var done atomic.Int64
	var wg sync.WaitGroup
	team := make([]*writer, 3)
	enough := int64(Size(t, "WRITES", 2000) / 4)
	for i := range team {
		team[i] = newWriter(newClient(t, url, key), i, Size(t, "SEED", 1), &done)
		wg.Go(func() { team[i].write(enough) })
	}
	eventually(t, "the writers get on", func() bool { return t.Failed() || done.Load() >= enough/3 })
	d.step("Back up")
	wg.Wait()
	before := map[string][]string{}
	for _, query := range guards {
		before[query] = d.rows("primary", query)
	}
	moment := d.rows("primary", `SELECT clock_timestamp()::text`)[0]
	time.Sleep(10 * time.Millisecond) // whatever comes now comes later

	// The accident, and what was stored before it was noticed.
	late := newClient(t, url, key)
	for i := range 20 {
		if a := late.do(http.MethodPost, "/v1/tanks", `{"label":"late","tank":{"volume_l":54}}`, "Idempotency-Key", fmt.Sprint("late-", i)); a.status != http.StatusCreated {
			t.Fatalf("%d %s", a.status, a.body)
		}
	}
	if len(d.rows("primary", `DELETE FROM tanks WHERE label <> 'late' RETURNING 'gone'`)) == 0 {
		t.Fatal("the accident destroyed nothing")
	}
	d.step("Restore", "MOMENT="+moment)

	restored := serve(t, []string{"DATABASE_URL=" + d.dsn("restored", "commensal_login")})
	where.Store(restored)
	compare(t, team)
	for label, had := range late.list("/v1/tanks") {
		if had.Label == "late" {
			t.Errorf("%s is from after the moment", label)
		}
	}
	if seen := newClient(t, url, strangersKey).list("/v1/tanks"); len(seen) != 0 {
		t.Errorf("a stranger sees %d tanks", len(seen))
	}
	for _, query := range guards {
		if after := d.rows("restored", query); len(after) == 0 || strings.Join(after, "\n") != strings.Join(before[query], "\n") {
			t.Errorf("%s finds\n%s\nand found\n%s", query, strings.Join(after, "\n"), strings.Join(before[query], "\n"))
		}
	}
	if seen := d.unbound("restored"); seen != 0 {
		t.Errorf("who acts for nobody sees %d tanks", seen)
	}
}
