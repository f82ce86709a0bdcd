//go:build linux

package torture

import (
	"net/http"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"
)

// A cluster as for a big forum: three PostgreSQL under Patroni, HAProxy that leads to the primary, PgBouncer
// before it, two replicas of the service, and clients that remember what they were told. Whatever is lost, of
// what was acknowledged nothing is lost and nothing is there twice.
func TestAcknowledgedChangesSurviveTheLossOfThePrimary(t *testing.T) {
	t.Parallel()
	h := newHA(t)
	owner := newService(t, []string{"DATABASE_URL=" + h.primaryDSN("commensal")})
	owner.run("migrate", "up", "--admit", "commensal_login")
	owner.run("catalogue", "offer")
	settings := []string{"DATABASE_URL=" + h.pooledDSN("commensal_login"), "COMMENSAL_DATABASE_WATCH_URL=" + h.primaryDSN("commensal_login")}
	replicas := [2]*service{serve(t, settings), serve(t, settings)}
	key := replicas[0].key()
	probe := newClient(t, replicas[1].url, replicas[0].run("key", "create", "--organization", "Lighthouse", "--scope", "tanks:read,tanks:write"))

	var done atomic.Int64
	var over atomic.Bool
	var wg sync.WaitGroup
	team := make([]*writer, writers)
	for i := range team {
		w := newWriter(newClient(t, replicas[i%len(replicas)].url, key), i, Size(t, "SEED", 1), &done)
		team[i] = w
		wg.Go(func() {
			for !over.Load() && !t.Failed() {
				w.step()
				done.Add(1)
			}
		})
	}
	getsOn := func() {
		before := done.Load()
		eventually(t, "the writers get on", func() bool { return t.Failed() || done.Load() > before+100 })
	}
	// struck tells how long nothing could be stored, and then lets the writers get on.
	struck := func(what string, strike func()) {
		begin := time.Now()
		strike()
		a, refused := probe.untilKnown(func() answer {
			return probe.do(http.MethodPost, "/v1/tanks", `{"tank":{"volume_l":54}}`, "Idempotency-Key", what)
		})
		if a.status != http.StatusCreated {
			t.Errorf("after %s: %d %s", what, a.status, a.body)
		}
		t.Logf("%s: stored again after %.1f s, %d requests refused meanwhile", what, time.Since(begin).Seconds(), refused)
		getsOn()
	}

	lookups := func() { // are answered from memory, whatever is away
		for _, r := range replicas {
			if a := newClient(t, r.url, "").get("/v1/pairings/oscar/neon-tetra"); a.status != http.StatusOK {
				t.Errorf("a lookup meanwhile: %d", a.status)
			}
		}
	}

	getsOn()
	rounds := Size(t, "FAILOVERS", 1)
	for round := range rounds {
		var lost *node
		if round%2 == 0 {
			struck("primary killed with its Patroni", func() { lost = h.primary(); lost.kill(); lookups() })
		} else { // its watchdog resets the machine in the end, so that it never wakes up as the primary
			struck("primary hangs", func() { lost = h.primary(); lost.signal(syscall.SIGSTOP); lookups() })
			lost.kill()
		}
		lost.start()
		h.healthy()
		struck("PgBouncer killed and started", func() { h.pooler.kill(); h.pooler.start() })
		// It wakes up well before its lease has run out, and stays what it is.
		struck("primary stopped for 8 s", func() {
			lost = h.primary()
			lost.signal(syscall.SIGSTOP)
			time.Sleep(8 * time.Second)
			lost.signal(syscall.SIGCONT)
		})
		h.healthy()
	}
	// What listens goes past the pooler, to whichever is the primary now.
	replicas[0].run("catalogue", "load", "--dir", renamed(t, replicas[0]))
	for _, r := range replicas {
		c := newClient(t, r.url, "")
		eventually(t, "the new revision is served", func() bool {
			return strings.Contains(string(c.get("/v1/species/astronotus-ocellatus").body), `"vernacular_name":"Renamed oscar"`)
		})
	}
	over.Store(true)
	wg.Wait()
	if !t.Failed() {
		compare(t, team)
		t.Logf("%d changes were acknowledged in all", done.Load())
	}
}
