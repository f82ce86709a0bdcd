//go:build linux

package torture

import (
	"fmt"
	"net/http"
	"regexp"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"
)

// listedByStandby is the metric of lists that came from a standby, where there were any.
var listedByStandby = regexp.MustCompile(`(?m)^commensal_database_list_reads_total\{place="replica"\} [1-9]`)

// renewals is for how long an etcd member is away: several times the primary has to renew its lease meanwhile.
const renewals = 8 * time.Second

// A cluster as for a big forum: three PostgreSQL under Patroni, HAProxy that leads to the primary, PgBouncer
// before it, two replicas of the service, and clients that remember what they were told. Whatever is lost, of
// what was acknowledged nothing is lost and nothing is there twice.
func TestAcknowledgedChangesSurviveTheLossOfThePrimary(t *testing.T) {
	t.Parallel()
	h := newHA(t)
	owner := newService(t, []string{"DATABASE_URL=" + h.primaryDSN("commensal")})
	owner.run("migrate", "up", "--admit", "commensal_login")
	owner.run("catalogue", "offer")
	settings := []string{"DATABASE_URL=" + h.pooledDSN("commensal_login"), "COMMENSAL_DATABASE_WATCH_URL=" + h.primaryDSN("commensal_login"),
		"DATABASE_REPLICA_URL=" + h.replicaDSN("commensal_login")}
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
	stored := map[string]bool{} // what the lighthouse was told is stored
	beacon := func(key string) (refused int) {
		a, refused := probe.untilKnown(func() answer {
			return probe.do(http.MethodPost, "/v1/tanks", `{"tank":{"volume_l":54}}`, "Idempotency-Key", key)
		})
		if a.status != http.StatusCreated {
			t.Errorf("%s: %d %s", key, a.status, a.body)
		}
		stored[decoded[thing](t, a).ID] = true
		return refused
	}
	// struck tells how long nothing could be stored, and then lets the writers get on. The list has all of the
	// lighthouse's tanks, whether a standby or the primary gives it, through either replica of the service.
	struck := func(what string, strike func()) {
		begin := time.Now()
		strike()
		refused := beacon(fmt.Sprint(what, " ", len(stored)))
		t.Logf("%s: stored again after %.1f s, %d requests refused meanwhile", what, time.Since(begin).Seconds(), refused)
		for _, r := range replicas {
			list := newClient(t, r.url, probe.key).list("/v1/tanks")
			for id := range stored {
				if _, listed := list[id]; !listed {
					t.Errorf("after %s: %s is stored and not in the list", what, id)
				}
			}
		}
		getsOn()
	}

	lookups := func() { // are answered from memory, whatever is away
		for _, r := range replicas {
			if a := newClient(t, r.url, "").get("/v1/pairings/oscar/neon-tetra"); a.status != http.StatusOK {
				t.Errorf("a lookup meanwhile: %d", a.status)
			}
		}
	}

	// minor are the losses that no machine of PostgreSQL is part of, or is back before its lease has run out.
	minor := func() {
		struck("leader of etcd killed", func() {
			leads, member := h.primary(), h.etcdLeader()
			member.kill()
			lookups()
			refused := 0
			for end := time.Now().Add(renewals); time.Now().Before(end) && !t.Failed(); time.Sleep(100 * time.Millisecond) {
				refused += beacon(fmt.Sprint("two of three ", len(stored)))
			}
			t.Logf("with two of three etcd members: %d requests refused", refused)
			if !leads.is("primary") || h.etcdLeader() == nil {
				t.Error("with two of three etcd members the primary did not stay what it was")
			}
			member.start()
		})
		struck("PgBouncer killed and started", func() { h.pooler.kill(); h.pooler.start() })
		// It wakes up well before its lease has run out, and stays what it is.
		struck("primary stopped for 8 s", func() {
			lost := h.primary()
			lost.signal(syscall.SIGSTOP)
			time.Sleep(8 * time.Second)
			lost.signal(syscall.SIGCONT)
		})
		h.healthy()
	}

	getsOn()
	rounds := Size(t, "FAILOVERS", 1)
	for round := range rounds {
		if round%3 == 0 {
			minor()
		}
		var lost *node
		switch round % 3 {
		case 0:
			struck("primary killed with its Patroni", func() { lost = h.primary(); lost.kill(); lookups() })
			lost.start()
		case 1:
			h.parted(replicas[0], key, func(cut func()) { struck("primary cut off from all others", func() { cut(); lookups() }) })
		case 2: // its watchdog resets the machine in the end, so that it never wakes up as the primary
			struck("primary hangs", func() { lost = h.primary(); lost.signal(syscall.SIGSTOP); lookups() })
			lost.kill()
			lost.start()
		}
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
		for _, r := range replicas {
			if text := newClient(t, func(path string) string { return r.metrics + path }, "").get("/metrics").body; !listedByStandby.Match(text) {
				t.Error("no list ever came from a standby")
			}
		}
		t.Logf("%d changes were acknowledged in all", done.Load())
	}
}

// parted lets the primary be cut off from etcd, its standbys and HAProxy, while a till on its side of the cut goes on
// storing through a service of its own. Nothing of that may be acknowledged, the primary steps down by itself, and when the
// cut is mended it follows the new one and has nothing that the others have not.
func (h *ha) parted(behind *service, key string, struck func(cut func())) {
	h.t.Helper()
	lost := h.primary()
	aside := serve(h.t, []string{"DATABASE_URL=" + lost.dsn("commensal_login")})
	till := newClient(h.t, aside.url, key)
	if a := till.get("/v1/tanks?limit=1"); a.status != http.StatusOK {
		h.t.Fatalf("aside: %d %s", a.status, a.body)
	}
	var asked, over atomic.Int64
	var wg sync.WaitGroup
	struck(func() {
		lost.part(true)
		wg.Go(func() {
			for over.Load() == 0 {
				// Each three times: a repeat must not be told either of what is stored there alone.
				key := fmt.Sprint("aside-", asked.Add(1)/3)
				a := till.do(http.MethodPost, "/v1/tanks", `{"label":"aside","tank":{"volume_l":54}}`, "Idempotency-Key", key)
				if !a.later() {
					h.t.Errorf("a primary that is cut off answers a change with %d %s", a.status, a.body)
				}
				time.Sleep(retryPause)
			}
		})
	})
	eventually(h.t, "the primary of the past steps down", func() bool { return !lost.is("primary") })
	over.Store(1)
	wg.Wait()
	aside.kill(syscall.SIGTERM)
	lost.part(false)
	h.healthy()
	if !lost.is("replica") {
		h.t.Error("the primary of the past does not follow the new one")
	}
	for id, x := range newClient(h.t, behind.url, key).list("/v1/tanks") {
		if x.Label == "aside" {
			h.t.Errorf("%s was stored on the wrong side of the cut", id)
		}
	}
	h.t.Logf("%d changes were asked of the primary of the past, none acknowledged", asked.Load())
}
