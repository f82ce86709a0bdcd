package connections_test

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"net"
	"net/http"
	"strconv"
	"sync"
	"testing"
	"time"

	"commensal/internal/connections"
)

// counted is a listener whose connections note how they are written to.
type counted struct {
	net.Listener
	mu     sync.Mutex
	writes []int
}

func (l *counted) Accept() (net.Conn, error) {
	c, err := l.Listener.Accept()
	if err != nil {
		return nil, err
	}
	return &countedConn{c, l}, nil
}

func (l *counted) taken() []int {
	l.mu.Lock()
	defer l.mu.Unlock()
	w := l.writes
	l.writes = nil
	return w
}

type countedConn struct {
	net.Conn
	of *counted
}

func (c *countedConn) Write(p []byte) (int, error) {
	c.of.mu.Lock()
	c.of.writes = append(c.of.writes, len(p))
	c.of.mu.Unlock()
	return c.Conn.Write(p)
}

// gathering serves bodies of /n bytes; with a query it promises as many bytes more than it writes.
func gathering(t *testing.T) (*counted, string) {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	to := &counted{Listener: l}
	bound := connections.Limit(to, 10)
	server := &http.Server{ConnState: bound.Watch, ConnContext: connections.Context, Handler: http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		n, _ := strconv.Atoi(r.URL.Path[1:])
		more, _ := strconv.Atoi(r.URL.RawQuery)
		connections.Gather(r.Context(), n+more)
		w.Header().Set("Content-Length", strconv.Itoa(n))
		_, _ = w.Write(bytes.Repeat([]byte("x"), n))
	})}
	go func() { _ = server.Serve(bound) }()
	t.Cleanup(func() { _ = server.Close() })
	return to, l.Addr().String()
}

// asked sends requests on one connection, one after the other, and reads the bodies.
func asked(t *testing.T, c net.Conn, from *bufio.Reader, method, target string) int {
	t.Helper()
	if err := c.SetDeadline(time.Now().Add(30 * time.Second)); err != nil {
		t.Fatal(err)
	}
	r, err := http.NewRequest(method, "http://x"+target, nil)
	if err != nil {
		t.Fatal(err)
	}
	if err := r.Write(c); err != nil {
		t.Fatal(err)
	}
	answer, err := http.ReadResponse(from, r)
	if err != nil {
		t.Fatal(target, err)
	}
	body, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(target, err)
	}
	return len(body)
}

func TestAnAnswerOfSomeKilobytesIsOneWrite(t *testing.T) {
	t.Parallel()
	to, address := gathering(t)
	c := dial(t, address)
	from := bufio.NewReader(c)
	for _, n := range []int{10, 2000, 3000, 4000, 4096, 4200, 5000, 8192, 12_288, 20_000, 32_000, 33_000, 100_000, 5000} {
		if got := asked(t, c, from, "GET", fmt.Sprintf("/%d", n)); got != n {
			t.Errorf("%d bytes of %d", got, n)
		}
		writes := to.taken()
		sum := 0
		for _, w := range writes {
			sum += w
		}
		if sum <= n {
			t.Errorf("%d: %v were written", n, writes)
		}
		if gathered := n > 4096 && n <= 32<<10; gathered && len(writes) != 1 {
			t.Errorf("%d: %v", n, writes)
		}
	}
}

// A promise that is not kept costs time, and no bytes: what is held goes out with the next request.
func TestWhatIsHeldIsNotLost(t *testing.T) {
	t.Parallel()
	_, address := gathering(t)
	c := dial(t, address)
	for _, target := range []string{"/9000?9000", "/5000"} {
		if err := c.SetDeadline(time.Now().Add(30 * time.Second)); err != nil {
			t.Fatal(err)
		}
		if _, err := fmt.Fprintf(c, "GET %s HTTP/1.1\r\nHost: x\r\n\r\n", target); err != nil {
			t.Fatal(err)
		}
	}
	from := bufio.NewReader(c)
	for _, n := range []int{9000, 5000} {
		answer, err := http.ReadResponse(from, nil)
		if err != nil {
			t.Fatal(err)
		}
		if body, err := io.ReadAll(answer.Body); err != nil || len(body) != n {
			t.Errorf("%d bytes of %d, %v", len(body), n, err)
		}
	}
}

func TestManyConnectionsGatherBesideEachOther(t *testing.T) {
	t.Parallel()
	_, address := gathering(t)
	var all sync.WaitGroup
	for i := range 8 {
		all.Go(func() {
			c := dial(t, address)
			from := bufio.NewReader(c)
			for k := range 50 {
				n := 3000 + 977*((i+k)%12)
				if got := asked(t, c, from, "GET", fmt.Sprintf("/%d", n)); got != n {
					t.Errorf("%d bytes of %d", got, n)
				}
			}
		})
	}
	all.Wait()
}

func TestGatherNeedsNoConnection(t *testing.T) {
	t.Parallel()
	connections.Gather(t.Context(), 5000) // a request of a test, or over TLS
}
