package records_test

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/api/records"
	"commensal/api/respond"
	"commensal/internal/auth"

	"github.com/jackc/pgx/v5"
)

func TestAnExportHasEveryRecordWholeAndNobodyElses(t *testing.T) {
	d := apitest.NewTill(t)
	a, b := d.Record(fixture.OscarJoins), d.Record(`{"external_ref":"r","residents":[{"species":"guppy"}]}`)
	d.Post("/v1/checks/"+a.Id+"/override", secondTank, d.Till...)
	d.Fill("there", 3)
	out := d.Get("/v1/checks/export", d.Office...)
	if out.Header().Get("Content-Type") != "application/x-ndjson" || out.Header().Get("Cache-Control") != "no-store" {
		t.Errorf("headers: %v", out.Header())
	}
	lines := strings.SplitAfter(out.Body.String(), "\n")
	for i, want := range []gen.CheckRecord{a, b} {
		if read := d.Get("/v1/checks/"+want.Id, d.Office...); lines[i] != read.Body.String() {
			t.Errorf("line %d: %s\nread: %s", i, lines[i], read.Body)
		}
	}
	if len(lines) != 3 || lines[2] != "" || !strings.Contains(lines[0], `"staff_ref":"desk 2"`) {
		t.Errorf("%d lines", len(lines)-1)
	}
	if a := d.Do(http.MethodHead, "/v1/checks/export", "", d.Office...); a.Code != http.StatusOK || a.Body.Len() > 0 {
		t.Errorf("HEAD: %d, %d bytes", a.Code, a.Body.Len())
	}
	if a := d.Get("/v1/checks/export", d.Key("there", auth.ChecksRead)...); strings.Count(a.Body.String(), "\n") != 3 {
		t.Errorf("theirs: %d lines", strings.Count(a.Body.String(), "\n"))
	}
}

// served is a desk on a listener, and the request for an export.
func served(d *apitest.Till) (client *http.Client, export *http.Request) {
	d.T.Helper()
	server := httptest.NewServer(d.Handler)
	d.T.Cleanup(server.Close)
	r, err := http.NewRequestWithContext(d.T.Context(), http.MethodGet, server.URL+"/v1/checks/export", nil)
	if err != nil {
		d.T.Fatal(err)
	}
	r.Header.Set("Authorization", d.Office[1])
	return server.Client(), r
}

func TestManyRecordsAreExportedAPieceAtATime(t *testing.T) {
	d := apitest.NewTill(t)
	const many = 3000
	d.Fill("here", many)
	client, request := served(d)
	a, err := client.Do(request)
	if err != nil {
		t.Fatal(err)
	}
	defer a.Body.Close()
	if a.ContentLength >= 0 {
		t.Errorf("the length was known before the end: %d", a.ContentLength)
	}
	seen, lines := map[string]bool{}, bufio.NewReader(a.Body)
	for {
		line, err := lines.ReadBytes('\n')
		if errors.Is(err, io.EOF) {
			break
		}
		var c gen.CheckRecord
		if err := errors.Join(err, json.Unmarshal(line, &c)); err != nil {
			t.Fatal(err)
		}
		seen[c.Id] = true
	}
	if len(seen) != many {
		t.Errorf("%d of %d records", len(seen), many)
	}
}

// Whoever gets a part of an export learns that it is one.
func TestAnExportThatFailsIsCutOff(t *testing.T) {
	log := &lockedLog{}
	d := apitest.NewTill(t, func(c *api.Config) { c.Logger = slog.New(slog.NewTextHandler(log, nil)) })
	d.Fill("here", 3000)
	client, request := served(d)
	a, err := client.Do(request)
	if err != nil {
		t.Fatal(err)
	}
	defer a.Body.Close()
	if _, err := bufio.NewReader(a.Body).ReadBytes('\n'); err != nil {
		t.Fatal(err)
	}
	conn, err := pgx.Connect(t.Context(), d.DSN)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.Background())
	_, err = conn.Exec(t.Context(), `SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = current_database() AND query LIKE '%ORDER BY decided_at, id' AND pid <> pg_backend_pid()`)
	if err != nil {
		t.Fatal(err)
	}
	if n, err := io.Copy(io.Discard, a.Body); err == nil {
		t.Errorf("%d more bytes, and an end as if that were all", n)
	}
	for _, line := range []string{`msg="an export was cut off" records=`, `route=/v1/checks/export`} {
		if text := log.after(line); !strings.Contains(text, line) {
			t.Errorf("the log has no %q:\n%s", line, text)
		}
	}
	if again := d.Get("/v1/checks?limit=1", d.Office...); again.Code != http.StatusOK {
		t.Errorf("afterwards: %d", again.Code)
	}
}

// lockedLog is a log that is read while a server writes it.
type lockedLog struct {
	mu   sync.Mutex
	text strings.Builder
}

// Write adds to the log.
func (l *lockedLog) Write(p []byte) (int, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.text.Write(p)
}

// after is the log as soon as a line is in it, or after a minute: the server writes it when the
// client has its answer already.
func (l *lockedLog) after(line string) (text string) {
	for end := time.Now().Add(time.Minute); time.Now().Before(end); time.Sleep(time.Millisecond) {
		l.mu.Lock()
		text = l.text.String()
		l.mu.Unlock()
		if strings.Contains(text, line) {
			break
		}
	}
	return text
}

func TestExportsAtTheSameTimeAreFew(t *testing.T) {
	h := apitest.NewService(t)
	s := apitest.ServerOf(t, fixture.Few(t), func(c *api.Config) { c.Store, c.Verifier = h.Store, auth.NewVerifier(h.Store, nil) })
	busy, key := apitest.Ask(t, s), h.Key("here", auth.ChecksRead)
	freeOne := s.Records.Occupy()
	a := busy.Get("/v1/checks/export", key...)
	apitest.WantProblem(t, "one too many", a, http.StatusTooManyRequests, respond.TooManyRequests)
	if a.Header().Get("Retry-After") != "10" {
		t.Errorf("Retry-After %q", a.Header().Get("Retry-After"))
	}
	freeOne()
	for range 3 * records.MaxExports {
		if a := busy.Get("/v1/checks/export", key...); a.Code != http.StatusOK {
			t.Errorf("%d %s", a.Code, a.Body)
		}
	}
}

func BenchmarkRecordCheck(b *testing.B) {
	d := apitest.NewTill(b)
	text := apitest.AsRecord(fixture.OscarJoins)
	b.ReportAllocs()
	for b.Loop() {
		if a := d.Post("/v1/checks", text, d.Till...); a.Code != http.StatusCreated {
			b.Fatal(a.Body)
		}
	}
}

func BenchmarkReplayCheck(b *testing.B) {
	d := apitest.NewTill(b)
	path := "/v1/checks/" + d.Record(fixture.OscarJoins).Id + "/replay"
	b.ReportAllocs()
	for b.Loop() {
		if a := d.Get(path, d.Office...); a.Code != http.StatusOK {
			b.Fatal(a.Body)
		}
	}
}

// BenchmarkExportChecks exports 1,000 records over loopback.
func BenchmarkExportChecks(b *testing.B) {
	d := apitest.NewTill(b)
	const many = 1000
	d.Fill("here", many)
	client, request := served(d)
	b.ReportAllocs()
	start, records := time.Now(), 0
	for b.Loop() {
		a, err := client.Do(request)
		if err != nil {
			b.Fatal(err)
		}
		n, err := io.Copy(io.Discard, a.Body)
		if err := errors.Join(err, a.Body.Close()); err != nil {
			b.Fatal(err)
		}
		b.SetBytes(n)
		records += many
	}
	b.ReportMetric(float64(records)/time.Since(start).Seconds(), "records/s")
}
