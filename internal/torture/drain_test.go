//go:build linux

package torture

import (
	"bytes"
	"fmt"
	"net/http"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"
)

// balancer sends requests to the replicas that say that they are ready, as a load balancer
// does, over connections that it keeps.
type balancer struct {
	*pair
	ready [2]atomic.Bool
	seen  [2]sync.Map // what /readyz answered
	next  atomic.Int64
}

// watch asks one replica whether it is ready, each time on a new connection.
func (b *balancer) watch(i int, stop <-chan struct{}) {
	asker := &http.Client{Transport: &http.Transport{DisableKeepAlives: true}, Timeout: patience}
	for {
		response, err := asker.Get(b.services[i].url("/readyz"))
		status := 0
		if err == nil {
			status = response.StatusCode
			response.Body.Close()
		}
		b.ready[i].Store(status == http.StatusOK)
		b.seen[i].Store(status, true)
		select {
		case <-stop:
			return
		case <-time.After(20 * time.Millisecond):
		}
	}
}

// pick is the client of a replica that is ready.
func (b *balancer) pick() *client {
	for {
		for range b.ready {
			if i := int(b.next.Add(1)) % len(b.ready); b.ready[i].Load() {
				return b.clients[i]
			}
		}
		time.Sleep(time.Millisecond)
	}
}

// send makes requests until over. Every one must be carried out at the first try.
func (b *balancer) send(t *testing.T, name string, done *atomic.Int64, over *atomic.Bool) {
	for n := 0; !over.Load() && !t.Failed(); n++ {
		q, want := questions[n%len(questions)], http.StatusOK
		var headers []string
		if n%3 == 0 {
			q, want = needy[0], http.StatusCreated
			headers = []string{"Idempotency-Key", fmt.Sprint(name, "-", n)}
		}
		a := b.pick().do(q.method, q.path, q.body, headers...)
		if want == http.StatusCreated && a.status == http.StatusServiceUnavailable && !Strict() {
			continue // the database was too slow, on a machine that does other things too
		}
		if a.status == http.StatusServiceUnavailable && bytes.Contains(a.body, []byte(`"/problems/overloaded"`)) && !Strict() {
			time.Sleep(50 * time.Millisecond) // more was asked for than a slow machine can do, which is no matter of the end
			continue
		}
		if a.status != want {
			t.Errorf("%s %s failed: %d %v %s", q.method, q.path, a.status, a.err, a.body)
		}
		done.Add(1)
	}
}

// One of two replicas is told to end while clients work. It says so first, and no request
// fails.
func TestNoRequestFailsWhenAReplicaEnds(t *testing.T) {
	t.Parallel()
	b := &balancer{pair: newPair(t, "--drain-delay", "3s")}
	stop := make(chan struct{})
	var watches, senders sync.WaitGroup
	for i := range b.services {
		watches.Go(func() { b.watch(i, stop) })
	}
	var done atomic.Int64
	var over atomic.Bool
	enough := int64(Size(t, "WRITES", 2000)) / 2
	for i := range 8 {
		senders.Go(func() { b.send(t, fmt.Sprint("till-", i), &done, &over) })
	}
	eventually(t, "requests are under way", func() bool { return t.Failed() || done.Load() > enough })
	if status := b.services[0].kill(syscall.SIGTERM); status != 0 {
		t.Errorf("exit status %d:\n%s", status, b.services[0].log)
	}
	eventually(t, "the replica answers no more", func() bool { _, refused := b.seen[0].Load(0); return refused })
	eventually(t, "requests go on", func() bool { return t.Failed() || done.Load() > 2*enough })
	over.Store(true)
	senders.Wait()
	close(stop)
	watches.Wait()
	if _, said := b.seen[0].Load(http.StatusServiceUnavailable); !said {
		t.Error("the replica never said that it was not ready any more")
	}
	t.Logf("%d requests were answered", done.Load())
	if _, ever := b.seen[1].Load(http.StatusServiceUnavailable); ever {
		t.Error("the other replica was not ready for a while")
	}
}
