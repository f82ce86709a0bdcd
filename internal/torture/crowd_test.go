//go:build linux

package torture

import (
	"encoding/json"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"commensal/internal/loadtest"
)

// meanwhile is within what time others are answered whatever goes on beside them.
const meanwhile = time.Second

// bystanders ask cheap lookups, the health of the service and a small check until the test has done its worst. The lookups and
// the health must be answered each time; a check may be refused, and must then say when to come again.
func bystanders(t *testing.T, s *service) (end func()) {
	t.Helper()
	stop := make(chan struct{})
	var wg sync.WaitGroup
	var health, lookups, checks slowest
	var refused atomic.Int64
	ask := func(times *slowest, may503 bool, method string, path func(int) string, body string) {
		c := newClient(t, s.url, "")
		for i := 0; ; i++ {
			select {
			case <-stop:
				return
			case <-time.After(20 * time.Millisecond):
			}
			switch a := c.do(method, path(i), body); {
			case a.status == http.StatusOK:
				times.note(a.took)
			case may503 && a.status == http.StatusServiceUnavailable && a.header.Get("Retry-After") != "":
				refused.Add(1)
			default:
				t.Errorf("%s: %d %v %.200s", path(i), a.status, a.err, a.body)
				return
			}
		}
	}
	wg.Go(func() {
		ask(&health, false, http.MethodGet, func(i int) string { return []string{"/livez", "/readyz"}[i%2] }, "")
	})
	wg.Go(func() {
		ask(&lookups, false, http.MethodGet, func(i int) string {
			return []string{"/v1/pairings/oscar/neon-tetra", "/v1/species/guppy", "/v1/species?q=tetra&limit=" + strconv.Itoa(1+i%20)}[i%3]
		}, "")
	})
	wg.Go(func() {
		ask(&checks, true, http.MethodPost, func(int) string { return "/v1/checks?units=si" }, `{"residents":[{"species":"neon tetra","count":12},{"species":"guppy"}]}`)
	})
	return sync.OnceFunc(func() {
		close(stop)
		wg.Wait()
		health.tell(t, "answers about health", meanwhile)
		lookups.tell(t, "lookups", meanwhile)
		t.Logf("%d small checks answered, the slowest within %v; %d refused", checks.count, checks.took.Round(time.Millisecond), refused.Load())
	})
}

// Connections that lie about and readers that do not read keep nobody else from being answered.
func TestIdleConnectionsAndSlowReadersKeepNobodyOut(t *testing.T) {
	t.Parallel()
	idle, slow := Size(t, "IDLE", 500), Size(t, "READERS", 40)
	var limit syscall.Rlimit
	if err := syscall.Getrlimit(syscall.RLIMIT_NOFILE, &limit); err != nil || limit.Cur < uint64(idle+slow+200) {
		t.Fatalf("%d files may be open, and %d connections are wanted: raise ulimit -n", limit.Cur, idle+slow)
	}
	s := serve(t, newDatabase(t).settings(), "--migrate", "--rate-limit", "0")
	before, kinds := resident(t, s), manyKinds(t, s)
	for i := range idle {
		l := s.dial(t)
		if i%2 == 0 { // the others never say anything
			if err := l.say("GET /livez HTTP/1.1\r\nHost: x\r\n\r\n"); err != nil {
				t.Fatal(err)
			}
			l.status()
		}
	}
	var readers []net.Conn
	for i := range slow {
		l := s.dial(t)
		if err := l.Conn.(*net.TCPConn).SetReadBuffer(4096); err != nil {
			t.Fatal(err)
		}
		large := "GET /openapi.yaml HTTP/1.1\r\nHost: x\r\n\r\n"
		if i%4 == 0 {
			large = request(http.MethodPost, "/v1/checks", longList(kinds, 100, i))
		}
		if err := l.say(large); err != nil {
			t.Fatal(err)
		}
		readers = append(readers, l.Conn)
	}
	end := bystanders(t, s)
	time.Sleep(Span(t, "CROWD", 3*time.Second))
	for _, r := range readers { // each takes a byte now and then
		_, _ = io.CopyN(io.Discard, r, 1)
	}
	end()
	t.Logf("%d idle connections and %d slow readers: %d MiB resident before, %d MiB with them", idle, slow, before>>20, resident(t, s)>>20)
}

// longList is the body of a check of so many lines, another one for each number.
func longList(kinds []string, lines, number int) string {
	var list []string
	for i := range lines {
		list = append(list, fmt.Sprintf(`{"species":%q,"count":%d,"age_months":%d}`, kinds[(i+number)%len(kinds)], 1+(i*7+number)%40, 1+i%3))
	}
	return `{"residents":[` + strings.Join(list, ",") + `],"tank":{"size":"200x60x60cm"}}`
}

// manyKinds are 200 of the service's catalogue.
func manyKinds(t *testing.T, s *service) (ids []string) {
	t.Helper()
	var page struct{ Species []struct{ ID string } }
	if a := newClient(t, s.url, "").get("/v1/species?limit=200"); json.Unmarshal(a.body, &page) != nil || len(page.Species) != 200 {
		t.Fatalf("%d %v: %d kinds", a.status, a.err, len(page.Species))
	}
	for _, k := range page.Species {
		ids = append(ids, k.ID)
	}
	return ids
}

func request(method, path, body string) string {
	return fmt.Sprintf("%s %s HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: %d\r\n\r\n%s", method, path, len(body), body)
}

// resident is what the service has in memory, in bytes.
func resident(t *testing.T, s *service) int64 { t.Helper(); return ofStatus(t, s, "VmRSS:") }

func ofStatus(t *testing.T, s *service, what string) int64 {
	t.Helper()
	text, err := os.ReadFile(fmt.Sprintf("/proc/%d/status", s.process.Process.Pid))
	if err != nil {
		t.Fatal(err)
	}
	_, after, _ := strings.Cut(string(text), what)
	number, _, _ := strings.Cut(strings.TrimSpace(after), " kB")
	kb, err := strconv.ParseInt(number, 10, 64)
	if err != nil {
		t.Fatal(err)
	}
	return kb << 10
}

// attacks are those of a hostile review: what is sent at the same time, over and over.
var attacks = []struct {
	name, method, path string
	body               func(kinds []string, number int) string
	leaves             bool // long before it could be answered
}{
	{"a megabyte of wrong items", http.MethodPost, "/v1/checks", func([]string, int) string { return `{"residents":[` + strings.Repeat("1,", 1<<19-20) + `1]}` }, false},
	{"a name that means many, 47,200 times over 400 tanks", http.MethodPost, "/v1/placements", func([]string, int) string {
		tank := `{"tank":{"size":"60x30x30cm"},"residents":[` + strings.Repeat(`{"species":"tetra"},`, 117) + `{"species":"tetra"}]}`
		return `{"incoming":[{"species":"tetra"}],"tanks":[` + strings.Repeat(tank+",", 399) + tank + `]}`
	}, false},
	{"2,000 names that mean many in stock", http.MethodPost, "/v1/additions", func([]string, int) string {
		return `{"residents":[{"species":"guppy"}],"in_stock":[` + strings.Repeat(`"tetra",`, 1999) + `"tetra"]}`
	}, false},
	{"placements of 100 arrivals that grow in 120 tanks", http.MethodPost, "/v1/placements", func(kinds []string, n int) string {
		var tanks []string
		for i := range 120 {
			tanks = append(tanks, fmt.Sprintf(`{"tank":{"size":"%dx50x50cm"},"residents":[{"species":%q,"count":6,"age_months":2}]}`, 60+(i+n)%100, kinds[i%len(kinds)]))
		}
		return `{"incoming":` + residents(longList(kinds, 100, n)) + `,"tanks":[` + strings.Join(tanks, ",") + `]}`
	}, false},
	{"additions to 199 lines that grow", http.MethodPost, "/v1/additions", func(kinds []string, n int) string { return longList(kinds, 199, n) }, false},
	{"groupings of 200 lines in 100 tanks", http.MethodPost, "/v1/groupings", func(kinds []string, n int) string {
		return `{"residents":` + residents(longList(kinds, 200, n)) + `,"tanks":[` + strings.Repeat(`{"size":"100x40x40cm"},`, 99) + fmt.Sprintf(`{"size":"%dx40x40cm"}]}`, 60+n%100)
	}, false},
	{"checks of 200 lines, each another", http.MethodPost, "/v1/checks", func(kinds []string, n int) string { return longList(kinds, 200, n) }, false},
	{"a matrix of 200 kinds", http.MethodPost, "/v1/pairings", func(kinds []string, n int) string {
		return `{"species":["` + strings.Join(kinds[n%2:], `","`) + `"]}`
	}, false},
	{"checks whose client goes at once", http.MethodPost, "/v1/checks", func(kinds []string, n int) string { return longList(kinds, 200, 1000+n) }, true},
}

// residents is the list of a body made by longList.
func residents(body string) string {
	_, list, _ := strings.Cut(body, `"residents":`)
	list, _, _ = strings.Cut(list, `,"tank"`)
	return list
}

// What each attack costs by itself, for the table of README.md: within two seconds of a processor on an idle machine, with an
// answer of at most 1 MiB.
func TestEachAttackIsBoundedByItself(t *testing.T) {
	t.Parallel()
	const mostAnswer, mostCPU = 1 << 20, 2 * time.Second
	s := serve(t, newDatabase(t).settings(), "--migrate", "--rate-limit", "0", "--answer-cache", "0")
	c, kinds := newClient(t, s.url, ""), manyKinds(t, s)
	used := func() time.Duration {
		all, ok := loadtest.CPU(s.process.Process.Pid)
		if !ok {
			t.Fatal("the system does not say what a process uses")
		}
		return all
	}
	for i, a := range attacks {
		c.http.Timeout = patience
		if a.leaves {
			c.http.Timeout = 50 * time.Millisecond
		}
		before, made := used(), time.Now()
		got := c.do(a.method, a.path, a.body(kinds, i))
		if a.leaves {
			time.Sleep(time.Second) // whatever it goes on with
		}
		cost := used() - before
		t.Logf("%s: %d in %v, %v of a processor, %d KB, %d MiB resident", a.name, got.status, time.Since(made).Round(time.Millisecond), cost, len(got.body)>>10, resident(t, s)>>20)
		if got.status >= 500 || got.status == 0 && !a.leaves || len(got.body) > mostAnswer {
			t.Errorf("%s: %d %v, %d bytes", a.name, got.status, got.err, len(got.body))
		}
		if Strict() && cost > mostCPU {
			t.Errorf("%s: %v of a processor", a.name, cost)
		}
	}
}

// All attacks side by side leave the service within its memory limit, and others are answered meanwhile.
func TestAttacksSideBySideStayWithinTheMemoryLimit(t *testing.T) {
	t.Parallel()
	const limit = 512 << 20
	clients, lasts := Size(t, "ATTACKERS", 1), Span(t, "ATTACK", 4*time.Second)
	s := serve(t, append(newDatabase(t).settings(), fmt.Sprintf("GOMEMLIMIT=%d", limit)), "--migrate", "--rate-limit", "0")
	kinds, end := manyKinds(t, s), bystanders(t, s)
	var wg sync.WaitGroup
	var most atomic.Int64
	until := time.Now().Add(lasts)
	told := make([]map[int]int, len(attacks)*clients)
	for i := range told {
		told[i] = map[int]int{}
		wg.Go(func() { attack(t, s, kinds, i, until, told[i]) })
	}
	wg.Go(func() {
		for time.Now().Before(until) {
			most.Store(max(most.Load(), resident(t, s)))
			time.Sleep(20 * time.Millisecond)
		}
	})
	wg.Wait()
	end()
	for i, statuses := range told {
		if a := attacks[i%len(attacks)]; i < len(attacks) {
			t.Logf("%s: %v", a.name, statuses)
		}
	}
	t.Logf("%d MiB resident at the most, of a limit of %d MiB", most.Load()>>20, limit>>20)
	if most.Load() > limit && buildFlag != "-race" {
		t.Errorf("%d MiB resident", most.Load()>>20)
	}
}

// attack sends one of the attacks over and over, and counts the statuses.
func attack(t *testing.T, s *service, kinds []string, number int, until time.Time, told map[int]int) {
	a := attacks[number%len(attacks)]
	c := newClient(t, s.url, "")
	if a.leaves {
		c.http.Timeout = 50 * time.Millisecond
	}
	for i := 0; time.Now().Before(until); i++ {
		answered := c.do(a.method, a.path, a.body(kinds, number*1000+i))
		told[answered.status]++
		if answered.status >= 500 && answered.status != http.StatusServiceUnavailable || answered.status == 0 && !a.leaves {
			t.Errorf("%s: %d %v %.300s", a.name, answered.status, answered.err, answered.body)
			return
		}
		if answered.status == http.StatusServiceUnavailable && answered.header.Get("Retry-After") == "" {
			t.Errorf("%s: refused without Retry-After", a.name)
		}
	}
}
