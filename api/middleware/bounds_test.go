package middleware

import (
	"errors"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"testing"
	"time"

	"commensal/internal/admission"

	"github.com/labstack/echo/v4"
)

// slow is a request that is held at each of its steps until the test lets it go on.
type slow struct {
	atWork, answer, answers, end chan struct{}
	ended                        chan error
}

// begin sends a request of so many bytes on its way and returns once it is at work.
func begin(through echo.MiddlewareFunc, bytes int64) *slow {
	s := &slow{make(chan struct{}), make(chan struct{}), make(chan struct{}), make(chan struct{}), make(chan error, 1)}
	h := through(func(c echo.Context) error {
		close(s.atWork)
		<-s.answer
		c.Response().WriteHeader(http.StatusOK)
		close(s.answers)
		<-s.end
		return nil
	})
	go func() { s.ended <- h(asked("/v1/checks", bytes)) }()
	<-s.atWork
	return s
}

// answering lets the answer begin.
func (s *slow) answering() { close(s.answer); <-s.answers }

// over lets the request end.
func (s *slow) over(t *testing.T) {
	t.Helper()
	close(s.end)
	if err := <-s.ended; err != nil {
		t.Error(err)
	}
}

func asked(path string, bytes int64) echo.Context {
	r := httptest.NewRequest(http.MethodPost, path, http.NoBody)
	r.ContentLength = bytes
	return echo.New().NewContext(r, httptest.NewRecorder())
}

// quick is what becomes of a request that ends at once.
func quick(through echo.MiddlewareFunc, path string, bytes int64) error {
	return through(func(echo.Context) error { return nil })(asked(path, bytes))
}

func TestRequestsUnderWayAreBoundedAndSlowReadersAreNot(t *testing.T) {
	through := BoundInFlight(NewInFlight(1))
	for round := range 3 {
		s := begin(through, 10)
		if err := quick(through, "/v1/species", 0); !errors.Is(err, errTooManyAtOnce) {
			t.Errorf("round %d, one more than the bound: %v", round, err)
		}
		if err := quick(through, "/livez", 0); err != nil {
			t.Errorf("round %d, health: %v", round, err)
		}
		s.answering()
		if err := quick(through, "/v1/species", 0); err != nil {
			t.Errorf("round %d, beside one whose answer is being read: %v", round, err)
		}
		s.over(t)
	}
}

func TestFewLargeBodiesAreUnderWayTogether(t *testing.T) {
	through := boundBodies(admission.Options{Capacity: 1, Waiting: 4})
	for _, first := range []int64{largeBody, -1} { // -1 is of unknown length
		s := begin(through, first)
		for _, c := range []struct {
			bytes   int64
			refused bool
		}{{largeBody, true}, {10 * largeBody, true}, {-1, true}, {largeBody - 1, false}, {0, false}} {
			if err := quick(through, "/v1/checks", c.bytes); errors.Is(err, errTooManyAtOnce) != c.refused || err != nil && !c.refused {
				t.Errorf("%d bytes beside %d: %v", c.bytes, first, err)
			}
		}
		s.answering()
		if err := quick(through, "/v1/checks", largeBody); err != nil {
			t.Errorf("beside one that is answered already: %v", err)
		}
		s.over(t)
	}
}

func TestTheOldestLetterIsCutFirstAndOnce(t *testing.T) {
	o, cut := newOutbox(100), []int{}
	letterOf := func(n int, bytes int64) *letter { return &letter{bytes, func() { cut = append(cut, n) }} }
	first := o.put(letterOf(1, 60))
	second := o.put(letterOf(2, 40))
	if len(cut) != 0 || o.held != 100 {
		t.Fatalf("%v are cut at %d bytes", cut, o.held)
	}
	third := o.put(letterOf(3, 50))
	if len(cut) != 1 || cut[0] != 1 || o.held != 90 {
		t.Fatalf("%v are cut, %d bytes are left", cut, o.held)
	}
	for _, e := range []int{0, 1} { // what was cut off is given back too, and counts no more
		o.take(first)
		if o.held != 90 {
			t.Fatalf("after %d: %d bytes", e, o.held)
		}
	}
	o.take(second)
	o.take(third)
	if o.held != 0 || o.reading.Len() != 0 {
		t.Errorf("%d bytes in %d letters are left", o.held, o.reading.Len())
	}
	if o.put(letterOf(4, 500)); len(cut) != 1 {
		t.Errorf("a letter larger than all there is room for is cut before it is sent: %v", cut)
	}
}

// Who does not read a large answer is cut off when there is too much of it, and keeps nobody else from theirs.
func TestASlowReaderIsCutOffForTheNextOne(t *testing.T) {
	const large = 32 << 20 // more than the system's own buffers take
	o, piece, wrote := newOutbox(large+large/2), make([]byte, large), make(chan error, 4)
	e := echo.New()
	e.Use(o.bound())
	e.GET("/large", func(c echo.Context) error {
		_, err := c.Response().Write(piece)
		wrote <- err
		return nil
	})
	e.GET("/small", func(c echo.Context) error { return c.String(http.StatusOK, "small") })
	server := httptest.NewServer(e)
	defer server.Close()
	connect := func() net.Conn {
		conn, err := net.Dial("tcp", server.Listener.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		if _, err := io.WriteString(conn, "GET /large HTTP/1.1\r\nHost: x\r\n\r\n"); err != nil {
			t.Fatal(err)
		}
		return conn
	}
	never := connect()
	defer never.Close()
	for o.letters() == 0 { // until its answer is on its way
		time.Sleep(time.Millisecond)
	}
	if answer, err := http.Get(server.URL + "/small"); err != nil || answer.Body.Close() != nil {
		t.Errorf("a small answer beside it: %v", err)
	}
	answer, err := http.Get(server.URL + "/large")
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	if n, err := io.Copy(io.Discard, answer.Body); n != large || err != nil {
		t.Errorf("the next reader gets %d bytes: %v", n, err)
	}
	first, second := <-wrote, <-wrote
	if first == nil {
		first, second = second, first
	}
	if !errors.Is(first, os.ErrDeadlineExceeded) || second != nil {
		t.Errorf("written to who does not read: %v; to who does: %v", first, second)
	}
	if o.letters() != 0 || o.held != 0 {
		t.Errorf("%d bytes in %d letters are left", o.held, o.letters())
	}
}

func (o *outbox) letters() int {
	o.mu.Lock()
	defer o.mu.Unlock()
	return o.reading.Len()
}
