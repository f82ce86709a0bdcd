package service

import (
	"context"
	"errors"
	"io"
	"log/slog"
	"net"
	"net/http"
	"strings"
	"testing"
	"time"

	"commensal/internal/auth"
	"commensal/internal/localpg"
	"commensal/internal/localpg/localpgtest"
	"commensal/internal/store/dbtest"
)

func TestMetricsAreOnTheirOwnAddressOnly(t *testing.T) {
	t.Parallel()
	s := start(t, dbtest.New(t), nil)
	if status, _ := s.get(t, "/metrics"); status != http.StatusNotFound {
		t.Errorf("the public address answers /metrics with %d", status)
	}
	_, rest, _ := strings.Cut(s.log.String(), `"metrics":"`)
	addr, _, _ := strings.Cut(rest, `"`)
	response, err := http.Get("http://" + addr + "/metrics")
	if err != nil {
		t.Fatal(err)
	}
	defer response.Body.Close()
	body, err := io.ReadAll(response.Body)
	if err != nil || response.StatusCode != http.StatusOK || !strings.Contains(string(body), "# TYPE") {
		t.Errorf("%d %v %s", response.StatusCode, err, body)
	}
}

func TestLookupsKeepWorkingWhenTheDatabaseGoesAway(t *testing.T) {
	t.Parallel()
	db, err := localpg.Start(t.Context(), localpg.Options{DataDir: localpgtest.PrivateFolder(t) + "/db", Throwaway: true})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = db.Stop(context.Background()) })
	s := start(t, db.DSN(), nil)
	if err := db.Stop(t.Context()); err != nil {
		t.Fatal(err)
	}
	localpgtest.Eventually(t, "readyz says degraded", func() bool {
		status, body := s.get(t, "/readyz")
		return status == http.StatusOK && strings.Contains(body, `"degraded"`)
	})
	if status, body := s.get(t, "/v1/pairings/oscar/guppy"); status != http.StatusOK || !strings.Contains(body, `"score"`) {
		t.Errorf("lookup: %d %s", status, body)
	}
	if err := s.stop(); err != nil {
		t.Errorf("the end without a database is not clean: %v", err)
	}
}

// A request that is under way when the service is told to end gets its answer.
func TestRequestsUnderWayFinishBeforeTheEnd(t *testing.T) {
	t.Parallel()
	begun, finish := make(chan struct{}), make(chan struct{})
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	s := &service{set: &Settings{}, log: slog.New(slog.DiscardHandler), failed: make(chan error, 1)}
	s.answer(l, http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		close(begun)
		<-finish
		_, _ = io.WriteString(w, "done")
	}), 10, nil)
	answer := make(chan error, 1)
	go func() {
		response, err := http.Get("http://" + l.Addr().String())
		if err == nil {
			var body []byte
			body, err = io.ReadAll(response.Body)
			response.Body.Close()
			if err == nil && string(body) != "done" {
				err = errors.New("the answer is " + string(body))
			}
		}
		answer <- err
	}()
	<-begun
	ended := make(chan error, 1)
	go func() { ended <- s.close() }()
	localpgtest.Eventually(t, "new connections are refused", func() bool {
		conn, err := net.DialTimeout("tcp", l.Addr().String(), time.Second)
		if err == nil {
			conn.Close()
		}
		return err != nil
	})
	select {
	case <-ended:
		t.Error("the service ended before its request")
	default:
	}
	close(finish)
	if err := <-answer; err != nil {
		t.Error(err)
	}
	if err := <-ended; err != nil {
		t.Error(err)
	}
}

func TestAnAddressOnEveryInterfaceIsPrintedAsLoopback(t *testing.T) {
	t.Parallel()
	l, err := net.Listen("tcp", ":0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	addr := reachable(l)
	if !strings.HasPrefix(addr, "127.0.0.1:") {
		t.Fatalf("printed as %s", addr)
	}
	conn, err := net.DialTimeout("tcp", addr, 5*time.Second)
	if err != nil {
		t.Fatal(err)
	}
	conn.Close()
}

func TestPlainTextForOthersIsSaidOnce(t *testing.T) {
	t.Parallel()
	dsn := dbtest.New(t)
	s := start(t, dsn, func(set *Settings) { set.Addr, set.MetricsAddr = "0.0.0.0:0", MetricsOff })
	s.get(t, "/livez")
	if n := strings.Count(s.log.String(), "not encrypted"); n != 1 {
		t.Errorf("said %d times", n)
	}
	if s := start(t, dsn, nil); strings.Contains(s.log.String(), "not encrypted") {
		t.Error("said of loopback")
	}
}

func TestNoKeyStandsInTheLog(t *testing.T) {
	t.Parallel()
	s := start(t, dbtest.New(t), func(set *Settings) { set.LogLevel = slog.LevelDebug })
	text, id, _ := auth.NewText()
	for _, path := range []string{"/v1/species/" + text, "/" + text, "/v1/species?q=" + text, "/v1/pairings/oscar/" + text} {
		s.get(t, path)
	}
	request, err := http.NewRequestWithContext(t.Context(), http.MethodGet, s.base+"/v1/tanks", nil)
	if err != nil {
		t.Fatal(err)
	}
	request.Header.Set("X-Request-Id", text)
	request.Header.Set("Authorization", "Bearer "+text)
	response, err := http.DefaultClient.Do(request)
	if err != nil {
		t.Fatal(err)
	}
	_ = response.Body.Close()
	localpgtest.Eventually(t, "every request is logged", func() bool { return strings.Count(s.log.String(), `"msg":"request"`) == 5 })
	if log := s.log.String(); strings.Contains(log, text[22:]) || !strings.Contains(log, id) {
		t.Errorf("a key is in the log, or its id is not:\n%s", log)
	}
}

func TestSettingsThatCannotBeRightAreTold(t *testing.T) {
	t.Parallel()
	for name, spoil := range map[string]func(*Settings){
		"COMMENSAL_RATE_LIMIT":      func(s *Settings) { s.RateLimit = -1 },
		"COMMENSAL_ANSWER_CACHE":    func(s *Settings) { s.AnswerCacheMiB = maxAnswerCacheMiB + 1 },
		"COMMENSAL_PUBLIC_URL":      func(s *Settings) { s.PublicURL = "fish.example" },
		"COMMENSAL_DRAIN_DELAY":     func(s *Settings) { s.DrainDelay = maxDrainDelay + 1 },
		"COMMENSAL_TLS_KEY":         func(s *Settings) { s.TLSCert = "c.pem" },
		"COMMENSAL_MAX_CONNECTIONS": func(s *Settings) { s.MaxConnections = 0 },
		"COMMENSAL_WORK_LIMIT":      func(s *Settings) { s.WorkLimit = leastWork - 1 },
		"COMMENSAL_KEY_LIFE":        func(s *Settings) { s.KeyLife = -1 },
		"COMMENSAL_ADDR":            func(s *Settings) { s.Addr = "localhost" },
	} {
		set := settings("host=/nowhere", io.Discard)
		spoil(set)
		var told *SettingError
		if err := Run(t.Context(), set); !errors.As(err, &told) || !strings.Contains(err.Error(), name) {
			t.Errorf("%s: %v", name, err)
		}
	}
	if err := settings("", io.Discard).Check(); err != nil {
		t.Errorf("sound settings: %v", err)
	}
}
