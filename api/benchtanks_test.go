package api_test

import (
	"context"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"strconv"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/middleware"
	"commensal/db"
	"commensal/internal/auth"
	"commensal/internal/localpg"
	"commensal/internal/store"
	"commensal/internal/store/bare"
	"commensal/internal/store/dbtest"
	"commensal/internal/store/migration"

	"github.com/google/uuid"
	"github.com/jackc/pgx/v5"
)

// The three requests of a day at the counter, and the statements that they come to.
// Each tank is another one, so that no answer was made before.
const (
	benchTank = `{"size":"120x50x50cm","temperature_c":25,"ph":6.8,"cover":0.%09d,"lid":true}`
	benchLine = `{"species":"paracheirodon-innesi","count":12}`
)

// BenchmarkTanks makes a tank, reads it and judges it, over HTTP with a key, and compares
// that with what it comes to in SQL alone: the same transactions with the same statements
// through pgx, on the same database with as many connections. Rounds of the two alternate;
// the ratio is of requests in equal time. "durable" is a server as commensal serve runs
// it, which waits for the disk at every commit; "throwaway" is one that does not, so that
// the work of the service weighs most.
func BenchmarkTanks(b *testing.B) {
	b.Run("durable", func(b *testing.B) { benchTanks(b, durable(b)) })
	b.Run("throwaway", func(b *testing.B) { benchTanks(b, dbtest.New(b)) })
}

// durable is a database on a private server with no corners cut.
func durable(b *testing.B) (dsn string) {
	b.Helper()
	dir, err := os.MkdirTemp("", "commensal-bench-")
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { os.RemoveAll(dir) })
	srv, err := localpg.Start(b.Context(), localpg.Options{DataDir: dir})
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { _ = srv.Stop(context.Background()) })
	if err := migration.New(srv.DSN(), db.MigrationsFS()).Up(b.Context()); err != nil {
		b.Fatal(err)
	}
	return srv.DSN()
}

const benchRounds = 25

func benchTanks(b *testing.B, dsn string) {
	h := apitest.NewServiceOn(b, dsn)
	key := h.Key("here", auth.TanksRead, auth.TanksWrite)[1]
	writer, err := bare.Open(b.Context(), dsn, h.Organizations["here"], 8) // as many as the service has
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(writer.Close)
	alone := &bareSQL{writer, h.Organizations["here"]}
	clients := newTarget(b, "ours", h.Handler, apitest.OscarNeon).mine
	over := func(i int) error { return clients[i].day(key) }
	in := func(int) error { return alone.day(context.Background()) }
	together(b, len(clients), over)
	together(b, len(clients), in)
	var ours, theirs time.Duration
	for b.Loop() {
		ours += together(b, len(clients), over)
		theirs += together(b, len(clients), in)
	}
	days := float64(b.N * benchRounds * len(clients))
	b.ReportMetric(float64(theirs)/float64(ours), "ratio")
	b.ReportMetric(days/ours.Seconds(), "ours/s")
	b.ReportMetric(days/theirs.Seconds(), "bare/s")
}

// together lets every client do its day a number of times, all at once.
func together(b *testing.B, clients int, day func(client int) error) time.Duration {
	b.Helper()
	start := time.Now()
	var wg sync.WaitGroup
	for i := range clients {
		wg.Go(func() {
			for range benchRounds {
				if err := day(i); err != nil {
					b.Error(err)
					return
				}
			}
		})
	}
	wg.Wait()
	return time.Since(start)
}

var tanksMade atomic.Int64

func anotherTank() string { return fmt.Sprintf(benchTank, tanksMade.Add(1)) }

// day is what a client asks, over a connection that it keeps.
func (k *kept) day(key string) error {
	made, err := k.send(http.MethodPost, "/v1/tanks", key, `{"label":"Show tank","tank":`+anotherTank()+`,"residents":[`+benchLine+`]}`, http.StatusCreated)
	if err != nil {
		return err
	}
	tank := made.Get("Location")
	if _, err := k.send(http.MethodGet, tank, key, "", http.StatusOK); err != nil {
		return err
	}
	_, err = k.send(http.MethodGet, tank+"/check", key, "", http.StatusOK)
	return err
}

func (k *kept) send(method, path, key, body string, want int) (http.Header, error) {
	request := method + " " + path + " HTTP/1.1\r\nHost: localhost\r\nAuthorization: " + key +
		"\r\nContent-Type: application/json\r\nContent-Length: " + strconv.Itoa(len(body)) + "\r\n\r\n" + body
	if _, err := k.conn.Write([]byte(request)); err != nil {
		return nil, err
	}
	answer, err := http.ReadResponse(k.reader, nil)
	if err != nil {
		return nil, err
	}
	if _, err := io.Copy(io.Discard, answer.Body); err != nil {
		return nil, err
	}
	if answer.StatusCode != want {
		return nil, fmt.Errorf("%s %s: %s", method, path, answer.Status)
	}
	return answer.Header, nil
}

type bareSQL struct {
	*bare.Writer
	organization uuid.UUID
}

func (s *bareSQL) day(ctx context.Context) error {
	tank, err := s.CreateTank(ctx, &bare.Tank{Label: "Show tank", Description: []byte(anotherTank()), Species: "paracheirodon-innesi", Line: []byte(benchLine)})
	if err != nil {
		return err
	}
	if err := s.read(ctx, tank); err != nil {
		return err
	}
	return s.stock(ctx, tank)
}

func (s *bareSQL) read(ctx context.Context, tank uuid.UUID) error {
	return s.As(ctx, "begin read only", func(tx pgx.Tx) error {
		return drained(tx.Query(ctx, `SELECT * FROM tanks WHERE organization_id = $1 AND id = $2`, [16]byte(s.organization), [16]byte(tank)))
	})
}

func (s *bareSQL) stock(ctx context.Context, tank uuid.UUID) error {
	return s.As(ctx, "begin read only", func(tx pgx.Tx) error {
		batch := &pgx.Batch{}
		batch.Queue(`SELECT * FROM tanks WHERE organization_id = $1 AND id = $2`, [16]byte(s.organization), [16]byte(tank))
		batch.Queue(`SELECT * FROM residents WHERE organization_id = $1 AND tank_id = $2 ORDER BY id LIMIT 200`, [16]byte(s.organization), [16]byte(tank))
		batch.Queue(store.WaterSQL, [16]byte(s.organization), [16]byte(tank), store.SwingDays)
		return tx.SendBatch(ctx, batch).Close()
	})
}

func drained(rows pgx.Rows, err error) error {
	if err != nil {
		return err
	}
	for rows.Next() {
		if _, err := rows.Values(); err != nil {
			return err
		}
	}
	return rows.Err()
}

// BenchmarkKey is a lookup with a key that is known against the same without one; the
// difference is what a key adds to a request.
func BenchmarkKey(b *testing.B) {
	h := apitest.NewService(b, func(c *api.Config) {
		c.RateLimit, c.KeyRateLimit = middleware.RateLimit{Quota: 1 << 30}, middleware.RateLimit{Quota: 1 << 30}
	})
	key := h.Key("here", auth.TanksRead)
	h.Get("/v1/tanks", key...) // makes it known
	for _, c := range []struct {
		name    string
		headers []string
	}{{"without", nil}, {"with", key}} {
		b.Run(c.name, func(b *testing.B) {
			r := apitest.NewRequest(b, http.MethodGet, apitest.OscarNeon, "")
			for i := 0; i < len(c.headers); i += 2 {
				r.Header.Set(c.headers[i], c.headers[i+1])
			}
			b.ReportAllocs()
			for b.Loop() {
				h.Handler.ServeHTTP(httptest.NewRecorder(), r)
			}
		})
	}
}
