//go:build linux

package torture

import (
	"os"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"

	"commensal/internal/localpg/localpgtest"
)

const writers = 6

// survive lets writers work while a fault strikes several times, and then holds what the
// service has against what they were told.
func survive(t *testing.T, s *service, writes int, strike func()) {
	t.Helper()
	kills, seed := Size(t, "KILLS", 2), Size(t, "SEED", 1)
	var done atomic.Int64
	var wg sync.WaitGroup
	team, key := make([]*writer, writers), s.key()
	for i := range team {
		team[i] = newWriter(newClient(t, s.url, key), i, seed, &done)
		wg.Go(func() { team[i].write(int64(writes)) })
	}
	for i := range kills {
		at := int64(writes * (i + 1) / (kills + 1))
		eventually(t, "the writers get on", func() bool { return t.Failed() || done.Load() >= at })
		strike()
	}
	wg.Wait()
	if !t.Failed() {
		compare(t, team)
	}
}

// compare holds the service against the model of the writers: all that was acknowledged is
// there, nothing is there twice, and a repeat of a request gets its first answer.
func compare(t *testing.T, team []*writer) {
	t.Helper()
	stored, made, unknown, found := team[0].list("/v1/tanks"), 0, 0, 0
	for _, w := range team {
		for _, k := range w.tanks {
			w.hold(k, stored)
		}
		for _, p := range w.posts {
			if again, _ := w.untilKnown(func() answer { return w.repeat(p) }); !same(p.first, again) || again.header.Get("Idempotent-Replayed") != "true" {
				t.Errorf("POST %s was answered %d %s, and again %d %v %s", p.path, p.first.status, p.first.body, again.status, again.err, again.body)
			}
		}
		made, unknown, found = made+len(w.tanks), unknown+w.unknown, found+w.found
	}
	if len(stored) != made {
		t.Errorf("there are %d tanks, and %d were acknowledged", len(stored), made)
	}
	if again := team[0].list("/v1/tanks"); len(again) != len(stored) {
		t.Errorf("the repeats made %d tanks more", len(again)-len(stored))
	}
	t.Logf("%d tanks agree; of %d changes that were not acknowledged at first, %d had been carried out", made, unknown, found)
}

// hold compares one tank.
func (w *writer) hold(k *tank, stored map[string]thing) {
	w.t.Helper()
	id := k.path[len("/v1/tanks/"):]
	if got, ok := stored[id]; !ok || got.Label != k.label {
		w.t.Errorf("%s: %+v is stored, and %q was acknowledged", k.path, got, k.label)
	}
	if a, _ := w.untilKnown(func() answer { return w.get(k.path) }); a.header.Get("ETag") != k.etag {
		w.t.Errorf("%s: %d, version %s, and %s was acknowledged", k.path, a.status, a.header.Get("ETag"), k.etag)
	}
	for kind, want := range map[string]map[string]bool{"/residents": k.residents, "/readings": k.readings} {
		got := w.list(k.path + kind)
		if len(got) != len(want) {
			w.t.Errorf("%s%s: %d are stored, %d were acknowledged", k.path, kind, len(got), len(want))
		}
		for id := range want {
			if _, ok := got[id]; !ok {
				w.t.Errorf("%s%s: %s is lost", k.path, kind, id)
			}
		}
	}
}

// The private PostgreSQL is killed with all its sessions; the service starts it again.
func TestAcknowledgedChangesSurviveAKilledDatabase(t *testing.T) {
	t.Parallel()
	dir := localpgtest.Folder(t)
	s := serve(t, []string{"COMMENSAL_DATA_DIR=" + dir})
	p := postgres{t, dir}
	survive(t, s, Size(t, "WRITES", 2000), func() { p.signal(s.process.Process.Pid, syscall.SIGKILL) })
}

// The service is killed, and its private PostgreSQL goes down with it.
func TestAcknowledgedChangesSurviveAKilledService(t *testing.T) {
	t.Parallel()
	s := serve(t, []string{"COMMENSAL_DATA_DIR=" + localpgtest.Folder(t)})
	survive(t, s, Size(t, "WRITES", 2000)/2, func() {
		s.kill(syscall.SIGKILL)
		s.start()
	})
}

// The service is killed alone: what its sessions were doing may still be done when it is back.
func TestAcknowledgedChangesSurviveAServiceKilledBesideItsDatabase(t *testing.T) {
	t.Parallel()
	d := newDatabase(t)
	s := serve(t, d.settings(), "--migrate")
	survive(t, s, Size(t, "WRITES", 2000)/2, func() {
		s.kill(syscall.SIGKILL)
		s.start()
	})
	d.server(os.Getpid()) // still the same server
}
