package connections_test

import (
	"bufio"
	"crypto/tls"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"testing"
	"time"

	"commensal/internal/connections"
)

// serve answers behind a bound; /wait holds its connection at work until release is closed.
func serve(t *testing.T, most int, release chan struct{}, secure bool) (*connections.Bound, string, *httptest.Server) {
	t.Helper()
	server := httptest.NewUnstartedServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if r.URL.Path == "/wait" {
			<-release
		}
		fmt.Fprint(w, "ok")
	}))
	bound := connections.Limit(server.Listener, most)
	server.Listener = bound
	server.Config.ConnState = bound.Watch
	if secure {
		server.StartTLS()
	} else {
		server.Start()
	}
	t.Cleanup(server.Close)
	return bound, bound.Addr().String(), server
}

func dial(t *testing.T, address string) net.Conn {
	t.Helper()
	c, err := net.Dial("tcp", address)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = c.Close() })
	return c
}

// ask sends a request over a connection and reads the answer.
func ask(c net.Conn) error {
	if _, err := io.WriteString(c, "GET / HTTP/1.1\r\nHost: x\r\n\r\n"); err != nil {
		return err
	}
	_ = c.SetReadDeadline(time.Now().Add(20 * time.Second))
	answer, err := http.ReadResponse(bufio.NewReader(c), nil)
	if err != nil {
		return err
	}
	defer func() { _ = answer.Body.Close() }()
	_, err = io.Copy(io.Discard, answer.Body)
	return err
}

// until waits for something that other goroutines bring about.
func until(t *testing.T, what string, is func() bool) {
	t.Helper()
	for end := time.Now().Add(20 * time.Second); !is(); time.Sleep(time.Millisecond) {
		if time.Now().After(end) {
			t.Fatal("never: " + what)
		}
	}
}

func TestIdleConnectionsKeepNobodyOut(t *testing.T) {
	for _, x := range []struct {
		name   string
		spoken bool // before they fall idle
	}{{"that said nothing", false}, {"that were used", true}} {
		t.Run(x.name, func(t *testing.T) {
			bound, address, _ := serve(t, 5, nil, false)
			for range 30 {
				c := dial(t, address)
				if x.spoken {
					if err := ask(c); err != nil {
						t.Fatal(err)
					}
				}
			}
			if err := ask(dial(t, address)); err != nil {
				t.Error(err)
			}
			if open, _, evicted := bound.Count(); open > 5 || evicted < 26 {
				t.Errorf("%d open, %d made room", open, evicted)
			}
		})
	}
}

func TestTheLongestIdleMakesRoom(t *testing.T) {
	bound, address, _ := serve(t, 2, nil, false)
	old, young := dial(t, address), dial(t, address)
	if err := errors.Join(ask(old), ask(young)); err != nil {
		t.Fatal(err)
	}
	until(t, "two idle", func() bool { _, idle, _ := bound.Count(); return idle == 2 })
	if err := ask(dial(t, address)); err != nil {
		t.Fatal(err)
	}
	if ask(old) == nil {
		t.Error("the longest idle one was kept")
	}
	if err := ask(young); err != nil {
		t.Errorf("the younger one made room: %v", err)
	}
}

func TestConnectionsAtWorkAreNotCutOff(t *testing.T) {
	release := make(chan struct{})
	bound, address, _ := serve(t, 2, release, false)
	answers := make(chan error, 2)
	for range 2 {
		go func() {
			answer, err := http.Get("http://" + address + "/wait")
			if err == nil {
				err = answer.Body.Close()
			}
			answers <- err
		}()
	}
	until(t, "two at work", func() bool { open, idle, _ := bound.Count(); return open == 2 && idle == 0 })
	waiting := make(chan error, 1)
	third := dial(t, address)
	go func() { waiting <- ask(third) }()
	close(release)
	if err := errors.Join(<-answers, <-answers, <-waiting); err != nil {
		t.Error(err)
	}
}

func TestItCountsBehindTLS(t *testing.T) {
	release := make(chan struct{})
	bound, address, _ := serve(t, 2, release, true)
	for range 6 {
		c := tls.Client(dial(t, address), &tls.Config{InsecureSkipVerify: true})
		if err := ask(c); err != nil {
			t.Fatal(err)
		}
	}
	until(t, "all idle", func() bool { open, idle, _ := bound.Count(); return open == 2 && idle == 2 })
}

func TestClosingSendsWaitersAway(t *testing.T) {
	raw, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	bound := connections.Limit(raw, 1)
	dial(t, raw.Addr().String())
	c, err := bound.Accept()
	if err != nil {
		t.Fatal(err)
	}
	bound.Watch(c, http.StateActive)
	ended := make(chan error)
	go func() { _, err := bound.Accept(); ended <- err }()
	dial(t, raw.Addr().String())
	if err := bound.Close(); err != nil {
		t.Error(err)
	}
	if err := <-ended; !errors.Is(err, net.ErrClosed) {
		t.Errorf("%v", err)
	}
	if err := c.Close(); err != nil {
		t.Error(err)
	}
	_ = c.Close() // gives no second place back
	if open, _, _ := bound.Count(); open != 0 {
		t.Errorf("%d open", open)
	}
}

func TestRoomIsLeftForOtherFiles(t *testing.T) {
	if got := connections.Most(1 << 40); got < 1 {
		t.Errorf("%d", got)
	}
	if got := connections.Most(3); got > 3 {
		t.Errorf("%d", got)
	}
}
