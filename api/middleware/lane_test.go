package middleware

import (
	"errors"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"commensal/api/respond"
	"commensal/api/work"
	"commensal/internal/conflict"

	"github.com/labstack/echo/v4"
)

// stub is a quick lookup whose answer is made by a function.
type stub func() (*respond.Reply, error)

func (s stub) Find(r *http.Request) (string, *respond.Reply, bool) {
	return "/v1/quick", nil, r.RequestURI == "/v1/quick"
}
func (s stub) Answer(*http.Request) (*respond.Reply, error) { return s() }

// laneOf is a lane with room for so many requests at once.
func laneOf(room int64, quota int, answer stub) *Lane {
	e := echo.New()
	e.HTTPErrorHandler = WriteProblems(slog.New(slog.DiscardHandler))
	return &Lane{Quick: answer, Metrics: NewMetrics(Sources{Book: func() *conflict.Book { return nil }, Cached: func() uint64 { return 0 },
		Stale: func() bool { return false }, Desk: work.New(0)}), Log: AccessLog{Logger: slog.New(slog.DiscardHandler)}, Now: time.Now, Flight: NewInFlight(room),
		Quotas: NewQuotas(NewGuard(nil, nil), Limits{Address: RateLimit{Quota: quota}.WithDefaults(), Now: time.Now}), Stale: func() bool { return false }, Rest: e}
}

func get(l *Lane) *httptest.ResponseRecorder {
	rec := httptest.NewRecorder()
	l.ServeHTTP(rec, httptest.NewRequest("GET", "/v1/quick", nil))
	return rec
}

func good() (*respond.Reply, error) { return respond.JSON("good") }

func TestTheLaneRefusesWhatIsTooMuchBeforeItWorks(t *testing.T) {
	working := func() (*respond.Reply, error) { t.Error("it worked"); return good() }
	if a := get(laneOf(0, 10, working)); a.Code != http.StatusServiceUnavailable || a.Header().Get("Retry-After") != "1" || a.Header().Get("Content-Type") != respond.ProblemMedia {
		t.Errorf("%d %v", a.Code, a.Header())
	}
	l := laneOf(1, 1, good)
	if a := get(l); a.Code != http.StatusOK || a.Body.String() != "\"good\"\n" {
		t.Errorf("%d %s", a.Code, a.Body)
	}
	l.Quick = stub(working)
	if a := get(l); a.Code != http.StatusTooManyRequests {
		t.Errorf("%d", a.Code)
	}
}

// Whatever becomes of a request, its place is free again, once.
func TestTheLaneGivesEveryPlaceBack(t *testing.T) {
	var l *Lane
	for name, c := range map[string]struct {
		answer stub
		status int
	}{
		"an answer":   {good, http.StatusOK},
		"a fault":     {func() (*respond.Reply, error) { return nil, respond.PathNotFound() }, http.StatusNotFound},
		"another one": {func() (*respond.Reply, error) { return nil, errors.New("secret") }, http.StatusInternalServerError},
		"a panic":     {func() (*respond.Reply, error) { panic("secret") }, http.StatusInternalServerError},
		"one at a time": {func() (*respond.Reply, error) {
			if n := l.Flight.now.Load(); n != 1 {
				t.Errorf("%d requests are under way", n)
			}
			return good()
		}, http.StatusOK},
	} {
		l = laneOf(1, 100, c.answer)
		for range 3 {
			a := get(l)
			if a.Code != c.status || strings.Contains(a.Body.String(), "secret") {
				t.Errorf("%s: %d %s", name, a.Code, a.Body)
			}
			if n := l.Flight.now.Load(); n != 0 {
				t.Errorf("%s: %d places are taken", name, n)
			}
		}
	}
	l = laneOf(1, 100, func() (*respond.Reply, error) { panic(http.ErrAbortHandler) })
	func() {
		defer func() {
			if fault := recover(); fault != http.ErrAbortHandler {
				t.Errorf("the connection is not cut: %v", fault)
			}
		}()
		get(l)
	}()
	if n := l.Flight.now.Load(); n != 0 {
		t.Errorf("%d places are taken", n)
	}
}
