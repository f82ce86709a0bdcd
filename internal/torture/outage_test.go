//go:build linux

package torture

import (
	"net/http"
	"os"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
)

// promised is within what time it is said that the database is away.
const promised = 2 * time.Second

// slowest is the longest time that any of several callers took.
type slowest struct {
	mu    sync.Mutex
	count int
	took  time.Duration
}

func (s *slowest) note(took time.Duration) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.count++
	s.took = max(s.took, took)
}

// tell logs the time, and asserts it where that is wanted.
func (s *slowest) tell(t *testing.T, what string, most time.Duration) {
	t.Helper()
	s.mu.Lock()
	defer s.mu.Unlock()
	t.Logf("%d %s, the slowest within %v", s.count, what, s.took.Round(time.Millisecond))
	if s.count == 0 {
		t.Errorf("no %s at all", what)
	}
	if Strict() && s.took > most {
		t.Errorf("the slowest of %d %s took %v, and %v is promised", s.count, what, s.took, most)
	}
}

// questions are answered from memory.
var questions = []struct{ method, path, body string }{
	{http.MethodGet, "/v1/pairings/oscar/neon-tetra", ""},
	{http.MethodGet, "/v1/species?q=tetra&limit=5", ""},
	{http.MethodGet, "/v1/species/guppy", ""},
	{http.MethodPost, "/v1/pairings", `{"species":["guppy","oscar","betta"]}`},
	{http.MethodPost, "/v1/checks", `{"tank":{"size":"120x50x50cm"},"residents":[{"species":"neon tetra","count":12}],"incoming":[{"species":"guppy"}]}`},
	{http.MethodPost, "/v1/additions", `{"residents":[{"species":"neon tetra","count":12}],"limit":3}`},
}

// askAround asks what is answered from memory until stop is closed. Every answer must be there.
func askAround(t *testing.T, c *client, stop <-chan struct{}, times *slowest) {
	for i := 0; ; i++ {
		select {
		case <-stop:
			return
		case <-time.After(5 * time.Millisecond):
		}
		q := questions[i%len(questions)]
		a := c.do(q.method, q.path, q.body)
		if a.status != http.StatusOK {
			t.Errorf("%s %s: %d %v %s", q.method, q.path, a.status, a.err, a.body)
			return
		}
		times.note(a.took)
	}
}

// needy need the database.
var needy = []struct{ method, path, body string }{
	{http.MethodPost, "/v1/tanks", `{"tank":{}}`},
	{http.MethodGet, "/v1/tanks", ""},
}

// bother asks what needs the database until the time is over. Every answer must say that the
// database is away, and when to come again.
func bother(t *testing.T, c *client, until time.Time, times *slowest) {
	for i := 0; time.Now().Before(until); i++ {
		q := needy[i%len(needy)]
		a := c.do(q.method, q.path, q.body)
		if a.status != http.StatusServiceUnavailable || a.header.Get("Retry-After") == "" || !strings.Contains(string(a.body), "/problems/database-away") {
			t.Errorf("%s %s without a database: %d %v %s", q.method, q.path, a.status, a.err, a.body)
			return
		}
		times.note(a.took)
		time.Sleep(10 * time.Millisecond)
	}
}

// outage is a service whose database goes away and comes back.
type outage struct {
	*client
	d *database
}

func (o *outage) readiness() string {
	a := o.get("/readyz")
	return decoded[struct{ Status string }](o.t, a).Status
}

func (o *outage) writes() bool {
	return o.do(http.MethodPost, "/v1/tanks", `{"tank":{}}`).status == http.StatusCreated
}

func (o *outage) mark() string {
	return o.get("/v1/species/guppy").header.Get("Catalogue-Stale")
}

// endure lets clients ask for what is not there.
func (o *outage) endure(what string, lasts time.Duration) {
	o.t.Helper()
	var times slowest
	var wg sync.WaitGroup
	until := time.Now().Add(lasts)
	for range 12 { // more than there are connections
		wg.Go(func() { bother(o.t, o.client, until, &times) })
	}
	eventually(o.t, "readyz says degraded", func() bool { return o.readiness() == "degraded" })
	wg.Wait()
	times.tell(o.t, "refusals while PostgreSQL is "+what, promised)
}

func (o *outage) recover() {
	o.t.Helper()
	begin := time.Now()
	eventually(o.t, "changes are stored again", o.writes)
	o.t.Logf("stored again after %v", time.Since(begin).Round(time.Millisecond))
	eventually(o.t, "readyz says ok", func() bool { return o.readiness() == "ok" })
	eventually(o.t, "answers are not stale", func() bool { return o.mark() == "" })
}

func TestAnswersFromMemoryGoOnWhilePostgreSQLIsAway(t *testing.T) {
	t.Parallel()
	lasts := Span(t, "OUTAGE", 4*time.Second)
	d := newDatabase(t)
	s := serve(t, d.settings(), "--migrate")
	o := &outage{newClient(t, s.url, s.key()), d}
	o.recover() // all is well

	var times slowest
	stop, lookups := make(chan struct{}), sync.WaitGroup{}
	lookups.Go(func() { askAround(t, newClient(t, s.url, ""), stop, &times) })

	d.signal(os.Getpid(), syscall.SIGSTOP) // it is there and says nothing
	wake := sync.OnceFunc(func() { d.signal(os.Getpid(), syscall.SIGCONT) })
	t.Cleanup(wake)
	o.endure("silent", lasts)
	wake()
	o.recover()

	d.kill()
	eventually(t, "answers say that they may be stale", func() bool { return o.mark() == "?1" })
	o.endure("gone", lasts)
	d.start()
	o.recover()

	close(stop)
	lookups.Wait()
	times.tell(t, "answers from memory", promised)
}
