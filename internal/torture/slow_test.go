//go:build linux

package torture

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"
)

// line is a bare connection to the service, for what no decent client does.
type line struct {
	net.Conn
	t      *testing.T
	answer *bufio.Reader
}

func (s *service) dial(t *testing.T) *line {
	t.Helper()
	conn, err := net.Dial("tcp", strings.TrimPrefix(s.url(""), "http://"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { conn.Close() })
	if err := conn.SetDeadline(time.Now().Add(patience)); err != nil {
		t.Fatal(err)
	}
	return &line{conn, t, bufio.NewReader(conn)}
}

// say sends text, which may fail when the service has hung up.
func (l *line) say(text string) error {
	_, err := io.WriteString(l.Conn, text)
	return err
}

// status reads one answer.
func (l *line) status() int {
	l.t.Helper()
	response, err := http.ReadResponse(l.answer, nil)
	if err != nil {
		l.t.Fatalf("no answer: %v", err)
	}
	defer response.Body.Close()
	if _, err := io.Copy(io.Discard, response.Body); err != nil {
		l.t.Fatal(err)
	}
	return response.StatusCode
}

// hungUp waits until the service ends the connection; its own deadline is no such end.
func (l *line) hungUp() {
	l.t.Helper()
	_, err := io.Copy(io.Discard, l.answer)
	var network net.Error
	if errors.As(err, &network) && network.Timeout() {
		l.t.Error("the connection is kept")
	}
}

// drip sends one byte after another until the service hangs up.
func (l *line) drip() {
	l.t.Helper()
	for end := time.Now().Add(patience); time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
		if l.say("a") != nil {
			return
		}
	}
	l.t.Error("the connection is kept")
}

const head = "POST /v1/checks HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\n"

// Whoever is slow is cut off, in each case within half a minute, and meanwhile costs nobody
// else anything.
func TestSlowClientsAreCutOff(t *testing.T) {
	t.Parallel()
	s := serve(t, newDatabase(t).settings(), "--migrate")
	var others slowest
	stop, ended := make(chan struct{}), make(chan struct{})
	go func() { defer close(ended); askAround(t, newClient(t, s.url, ""), stop, &others) }()
	t.Cleanup(func() {
		close(stop)
		<-ended
		others.tell(t, "answers to others", promised)
	})
	t.Run("in the headers", func(t *testing.T) {
		t.Parallel()
		l := s.dial(t)
		if err := l.say("GET /v1/species HTTP/1.1\r\nHost: x\r\nX-Slow: "); err != nil {
			t.Fatal(err)
		}
		l.drip()
	})
	t.Run("in the body", func(t *testing.T) {
		t.Parallel()
		l := s.dial(t)
		if err := l.say(head + "Content-Length: 1000000\r\n\r\n{\""); err != nil {
			t.Fatal(err)
		}
		l.drip()
	})
	t.Run("to say anything", func(t *testing.T) {
		t.Parallel()
		s.dial(t).hungUp()
	})
	t.Run("to read", func(t *testing.T) {
		t.Parallel()
		l := s.dial(t)
		if err := l.Conn.(*net.TCPConn).SetReadBuffer(4096); err != nil {
			t.Fatal(err)
		}
		request := "GET /openapi.yaml HTTP/1.1\r\nHost: x\r\n\r\n"
		for end := time.Now().Add(patience); l.say(request) == nil; { // until both sides' buffers are full
			if time.Now().After(end) {
				t.Fatal("the connection is kept")
			}
		}
	})
}

func TestHeadersAndBodiesAreBounded(t *testing.T) {
	t.Parallel()
	s := serve(t, newDatabase(t).settings(), "--migrate")
	const large = 2 << 20
	for name, c := range map[string]struct {
		request string
		status  int
	}{
		"a header of megabytes":          {"GET /v1/species HTTP/1.1\r\nHost: x\r\nX-Large: " + strings.Repeat("a", large), http.StatusRequestHeaderFieldsTooLarge},
		"headers without number":         {"GET /v1/species HTTP/1.1\r\nHost: x\r\n" + strings.Repeat("X-Many: a\r\n", large/11), http.StatusRequestHeaderFieldsTooLarge},
		"a path of megabytes":            {"GET /v1/species/" + strings.Repeat("a", large), http.StatusRequestHeaderFieldsTooLarge},
		"a body that says its length":    {head + "Content-Length: 1048577\r\n\r\n", http.StatusRequestEntityTooLarge},
		"a body in pieces without end":   {head + "Transfer-Encoding: chunked\r\n\r\n" + strings.Repeat(fmt.Sprintf("1000\r\n%s\r\n", strings.Repeat(" ", 0x1000)), large>>12), http.StatusRequestEntityTooLarge},
		"a body shorter than its length": {head + "Content-Length: 5\r\n\r\n{}   GET / HTTP/1.1\r\n\r\n", http.StatusUnprocessableEntity},
		"two lengths":                    {head + "Content-Length: 2\r\nContent-Length: 3\r\n\r\n{}", http.StatusBadRequest},
		"a length and pieces":            {head + "Content-Length: 2\r\nTransfer-Encoding: chunked, chunked\r\n\r\n{}", http.StatusNotImplemented},
		"no HTTP at all":                 {"fish\r\n\r\n", http.StatusBadRequest},
	} {
		t.Run(name, func(t *testing.T) {
			l := s.dial(t)
			go func() { _ = l.say(c.request) }() // it may be answered before it is all sent
			if got := l.status(); got != c.status {
				t.Errorf("answered %d, want %d", got, c.status)
			}
		})
	}
	if a := newClient(t, s.url, "").get("/v1/species/guppy"); a.status != http.StatusOK {
		t.Errorf("afterwards: %d %v", a.status, a.err)
	}
}
