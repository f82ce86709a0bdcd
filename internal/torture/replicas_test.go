//go:build linux

package torture

import (
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"
)

// pair is two replicas of the service on one database.
type pair struct {
	services [2]*service
	clients  [2]*client
}

// newPair starts both at the same time on an empty database, which one of them migrates and
// fills.
func newPair(t *testing.T, args ...string) *pair {
	t.Helper()
	d, p := newDatabase(t), &pair{}
	var begun [len(p.services)]error
	var wg sync.WaitGroup
	for i := range p.services {
		p.services[i] = newService(t, d.settings(), append([]string{"--migrate"}, args...)...)
		wg.Go(func() { begun[i] = p.services[i].begin() })
	}
	wg.Wait()
	for i, err := range begun {
		if err != nil {
			t.Fatalf("replica %d: %v\n%s", i, err, p.services[i].log)
		}
	}
	key := p.services[0].key()
	for i, s := range p.services {
		p.clients[i] = newClient(t, s.url, key)
	}
	return p
}

// The same request reaches both replicas at the same time: one of them carries it out, and
// both give its answer.
func TestARequestThatReachesTwoReplicasIsCarriedOutOnce(t *testing.T) {
	t.Parallel()
	p := newPair(t)
	const requests = 60
	made := map[string]bool{}
	for i := range requests {
		var answers [len(p.clients)]answer
		var wg sync.WaitGroup
		for k, c := range p.clients {
			wg.Go(func() {
				answers[k], _ = c.untilKnown(func() answer {
					return c.do(http.MethodPost, "/v1/tanks", `{"tank":{"volume_l":54}}`, "Idempotency-Key", fmt.Sprint("sale-", i))
				})
			})
		}
		wg.Wait()
		replayed := answers[0].header.Get("Idempotent-Replayed") + answers[1].header.Get("Idempotent-Replayed")
		if answers[0].status != http.StatusCreated || !same(answers[0], answers[1]) || replayed != "true" {
			t.Fatalf("%d %s and %d %s, replayed %q", answers[0].status, answers[0].body, answers[1].status, answers[1].body, replayed)
		}
		made[decoded[thing](t, answers[0]).ID] = true
	}
	for _, c := range p.clients {
		if stored := c.list("/v1/tanks"); len(stored) != requests || len(made) != requests {
			t.Errorf("%d tanks are stored of %d made for %d requests", len(stored), len(made), requests)
		}
	}
}

// renamed is a catalogue with another name for one of its fish.
func renamed(t *testing.T, s *service) (dir string) {
	t.Helper()
	dir = filepath.Join(t.TempDir(), "catalogue")
	s.run("catalogue", "export", "--out", dir)
	files, err := filepath.Glob(dir + "/species/*.yaml")
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range files {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		changed := strings.Replace(string(text), "en: [Oscar,", "en: [Renamed oscar, Oscar,", 1)
		if err := os.WriteFile(name, []byte(changed), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return dir
}

func TestANewRevisionReachesEveryReplica(t *testing.T) {
	t.Parallel()
	p := newPair(t)
	dir := renamed(t, p.services[0])
	served := func(c *client) string { return string(c.get("/v1/species/astronotus-ocellatus").body) }
	for _, c := range p.clients {
		if strings.Contains(served(c), "Renamed oscar") {
			t.Fatal("the name is not a new one")
		}
	}
	p.services[0].run("catalogue", "load", "--dir", dir)
	begin := time.Now()
	var swaps slowest
	for _, c := range p.clients {
		eventually(t, "the new revision is served", func() bool {
			body := served(c)
			return strings.Contains(body, `"vernacular_name":"Renamed oscar"`) && strings.Contains(body, `"catalogue_revision":2`)
		})
		swaps.note(time.Since(begin))
	}
	swaps.tell(t, "swaps after the load had ended", promised)
}
