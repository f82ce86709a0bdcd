//go:build linux

package torture

import (
	"net/http"
	"regexp"
	"strconv"
	"sync"
	"testing"

	"github.com/jackc/pgx/v5"
)

// Somebody else holds a lock on all tanks, so that statements are slow without end and the
// pool is used up. Everybody is told so in bounded time, nothing piles up, and lookups take
// no notice.
func TestALockHeldByOthersHoldsUpNothingForLong(t *testing.T) {
	t.Parallel()
	d := newDatabase(t)
	s := serve(t, d.settings(), "--migrate")
	c := newClient(t, s.url, s.key())
	if a := c.do(http.MethodPost, "/v1/tanks", `{"tank":{}}`); a.status != http.StatusCreated {
		t.Fatalf("%d %s", a.status, a.body)
	}
	conn, err := pgx.Connect(t.Context(), d.running.DSN())
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(t.Context())
	tx, err := conn.Begin(t.Context())
	if err != nil {
		t.Fatal(err)
	}
	if _, err := tx.Exec(t.Context(), `LOCK TABLE tanks IN ACCESS EXCLUSIVE MODE`); err != nil {
		t.Fatal(err)
	}
	before := goroutines(t, s)

	var fromMemory, refusals slowest
	stop, lookups := make(chan struct{}), sync.WaitGroup{}
	lookups.Go(func() { askAround(t, newClient(t, s.url, ""), stop, &fromMemory) })
	var wg sync.WaitGroup
	for range 100 {
		wg.Go(func() { press(t, c, &refusals) })
	}
	wg.Wait()
	close(stop)
	lookups.Wait()
	refusals.tell(t, "refusals while a lock is held", promised)
	fromMemory.tell(t, "answers from memory", promised)

	if err := tx.Rollback(t.Context()); err != nil {
		t.Fatal(err)
	}
	eventually(t, "changes are stored again", func() bool {
		return c.do(http.MethodPost, "/v1/tanks", `{"tank":{}}`).status == http.StatusCreated
	})
	c.http.CloseIdleConnections()
	eventually(t, "what was waiting is gone", func() bool { return goroutines(t, s) <= before+10 })
	eventually(t, "no more sessions than the pool has, and the watch", func() bool { return sessions(t, conn) <= 8+1 })
}

// press asks a few times for what is locked.
func press(t *testing.T, c *client, times *slowest) {
	for i := range 4 {
		q := needy[i%len(needy)]
		a := c.do(q.method, q.path, q.body)
		if !a.later() || a.status == 0 || a.header.Get("Retry-After") == "" {
			t.Errorf("%s %s while it is locked: %d %v %s", q.method, q.path, a.status, a.err, a.body)
			return
		}
		times.note(a.took)
	}
}

var goroutineLine = regexp.MustCompile(`(?m)^go_goroutines (\d+)$`)

// goroutines is how many the service has, as its metrics say.
func goroutines(t *testing.T, s *service) int {
	t.Helper()
	a := newClient(t, func(path string) string { return s.metrics + path }, "").get("/metrics")
	found := goroutineLine.FindStringSubmatch(string(a.body))
	if found == nil {
		t.Fatalf("%d %v: no number of goroutines in the metrics", a.status, a.err)
	}
	n, _ := strconv.Atoi(found[1])
	return n
}

// sessions is how many sessions of the service the database has.
func sessions(t *testing.T, conn *pgx.Conn) (n int) {
	t.Helper()
	err := conn.QueryRow(t.Context(), `SELECT count(*) FROM pg_stat_activity WHERE application_name = 'commensal'`).Scan(&n)
	if err != nil {
		t.Fatal(err)
	}
	return n
}
