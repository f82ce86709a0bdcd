package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"math/rand/v2"
	"net/http"
	"net/url"
	"os"
	"runtime"
	"strings"
	"time"

	"commensal/api/work"
	"commensal/internal/auth"
	"commensal/internal/conflict"
	"commensal/internal/loadtest"
	"commensal/internal/localpg"
	"commensal/internal/scale"
	"commensal/internal/service"
	"commensal/internal/store"

	"github.com/jackc/pgx/v5"
)

// How much is asked to find out what it costs. The sizes of tables come in pages of 8 KiB, so that a thousand rows
// and more are needed to tell what one takes.
const (
	lookupTime  = 5 * time.Second // of each kind
	connections = 8
	bodies      = 500 // answers whose length is averaged
	tanks       = 1500
	readings    = 6000
	records     = 1500
	pages       = 600
	residents   = 6 // lines in a tank
	lines       = 8 // of a check
)

// bench is a service with a private PostgreSQL, in this process and beside it.
type bench struct {
	base string
	book *conflict.Book
	key  string
	db   *pgx.Conn // as the owner
	pid  int       // of PostgreSQL
	rng  *rand.Rand
	http http.Client
}

// measure starts a service, measures, and ends it.
func measure(ctx context.Context) (f *scale.Figures, err error) {
	dir, err := os.MkdirTemp("", "commensal-scale-")
	if err != nil {
		return nil, err
	}
	defer func() { err = errors.Join(err, os.RemoveAll(dir)) }()
	if err := os.Chmod(dir, 0o755); err != nil { // whoever PostgreSQL runs as passes through
		return nil, err
	}
	ctx, cancel := context.WithCancel(ctx)
	b, ended, err := start(ctx, &service.Database{DataDir: dir + "/data"})
	if err == nil {
		f, err = b.measure(ctx)
	}
	cancel()
	return f, errors.Join(err, <-ended)
}

// start starts the service, which ends with ctx.
func start(ctx context.Context, d *service.Database) (*bench, <-chan error, error) {
	b := &bench{rng: rand.New(rand.NewPCG(1, 1)), http: http.Client{Transport: &http.Transport{MaxIdleConnsPerHost: connections}}}
	ready, ended := make(chan struct{}), make(chan error, 1)
	set := &service.Settings{Database: *d, Addr: "127.0.0.1:0", MetricsAddr: service.MetricsOff, Version: "scale", Log: io.Discard, LogLevel: slog.LevelError, Getenv: os.Getenv,
		AnswerCacheMiB: scale.MeasuredCacheMiB, Limits: service.Limits{MaxConnections: 256, WorkLimit: work.DefaultLimit, ExemptLoopback: true}}
	set.Ready = func(base string, book *conflict.Book) {
		b.base, b.book = base, book
		close(ready)
	}
	go func() { ended <- service.Run(ctx, set) }()
	select {
	case <-ready:
		return b, ended, b.enter(ctx, d)
	case err := <-ended:
		ended <- nil
		return nil, ended, err
	}
}

// enter makes a key, and looks at the database beside the service.
func (b *bench) enter(ctx context.Context, d *service.Database) error {
	err := service.StoreBeside(ctx, d, func(st *store.Store) error {
		o, err := st.CreateOrganization(ctx, "A shop")
		if err != nil {
			return err
		}
		text, id, hash := auth.NewText()
		b.key = text
		return st.Write(ctx, o.ID, func(tx *store.Tx) error {
			_, err := tx.CreateKey(ctx, auth.Key{ID: id, Hash: hash, Scopes: []auth.Scope{auth.TanksRead, auth.TanksWrite, auth.ChecksRead, auth.ChecksWrite}})
			return err
		})
	})
	if err != nil {
		return err
	}
	access, err := localpg.Running(d.DataDir)
	if err != nil {
		return err
	}
	if b.db, err = pgx.Connect(ctx, access.Owner); err != nil {
		return err
	}
	// The first line is the process.
	return b.db.QueryRow(ctx, `SELECT split_part(pg_read_file('postmaster.pid'), E'\n', 1)::int`).Scan(&b.pid)
}

func (b *bench) measure(ctx context.Context) (*scale.Figures, error) {
	var version string
	if err := b.db.QueryRow(ctx, `SHOW server_version`).Scan(&version); err != nil {
		return nil, err
	}
	version, _, _ = strings.Cut(version, " ")
	f := &scale.Figures{Machine: fmt.Sprintf("%d processors, %s, %s, PostgreSQL %s", runtime.NumCPU(), runtime.GOARCH, runtime.Version(), version), Kinds: b.book.Snapshot.Len()}
	for _, step := range []func(context.Context, *scale.Figures) error{b.lookups, b.tanks, b.records, b.lists} {
		if err := step(ctx, f); err != nil {
			return nil, err
		}
	}
	var memory runtime.MemStats
	runtime.ReadMemStats(&memory)
	f.ServiceBytes = float64(memory.Sys - memory.HeapReleased)
	f.Round()
	return f, nil
}

// pairing is the path of a pairing of two kinds drawn alike.
func (b *bench) pairing() string {
	draw := func() string { return string(b.book.Snapshot.At(b.rng.IntN(b.book.Snapshot.Len())).ID) }
	return "/v1/pairings/" + draw() + "/" + draw()
}

func (b *bench) lookups(ctx context.Context, f *scale.Figures) error {
	wire := make([][]byte, 1<<16)
	for i := range wire {
		wire[i] = loadtest.Request(http.MethodGet, b.pairing(), nil)
	}
	for range bodies {
		n, err := b.ask(ctx, http.MethodGet, b.pairing(), "", "")
		if err != nil {
			return err
		}
		f.PairingBytes += float64(n) / bodies
	}
	for _, kind := range []struct {
		to   *float64
		from loadtest.Source
	}{{&f.ComputedPairing, func(n int64) []byte { return wire[n%int64(len(wire))] }}, {&f.CachedPairing, loadtest.Always(wire[0])}} {
		took, err := b.rush(ctx, kind.from)
		if err != nil {
			return err
		}
		*kind.to = took
	}
	return nil
}

// rush asks as fast as answers come, and tells what one takes in microseconds of one core.
func (b *bench) rush(ctx context.Context, from loadtest.Source) (float64, error) {
	t, err := loadtest.Dial(ctx, strings.TrimPrefix(b.base, "http://"), connections)
	if err != nil {
		return 0, err
	}
	defer t.Close()
	before, err := ownTime()
	if err != nil {
		return 0, err
	}
	asked, err := t.Rush(ctx, from, lookupTime)
	if err != nil {
		return 0, err
	}
	after, err := ownTime()
	return micro(after-before, asked.Count()), err
}

func micro(d time.Duration, n int) float64 { return float64(d.Microseconds()) / float64(n) }

// ask asks once and returns the length of the answer, which must be a good one.
func (b *bench) ask(ctx context.Context, method, path, body, once string) (int, error) {
	r, err := http.NewRequestWithContext(ctx, method, b.base+path, strings.NewReader(body))
	if err != nil {
		return 0, err
	}
	r.Header.Set("Authorization", "Bearer "+b.key)
	if body != "" {
		r.Header.Set("Content-Type", "application/json")
		r.Header.Set("Idempotency-Key", once)
	}
	response, err := b.http.Do(r)
	if err != nil {
		return 0, err
	}
	defer response.Body.Close()
	text, err := io.ReadAll(response.Body)
	if err == nil && response.StatusCode/100 != 2 {
		err = fmt.Errorf("%s %s %s: %d %s", method, path, body, response.StatusCode, text)
	}
	return len(text), err
}

// state is what was taken so far.
type state struct {
	own, database time.Duration
	bytes, brief  int64 // on disk
	wal           int64
}

// usage is what an organization uses of its quotas: rows that are counted up in place, so many for each
// organization. It is left out.
const sizes = `SELECT
	coalesce(sum(pg_total_relation_size(oid)) FILTER (WHERE relname NOT IN ('idempotency_records', 'organization_usage')), 0)::int8,
	coalesce(sum(pg_total_relation_size(oid)) FILTER (WHERE relname = 'idempotency_records'), 0)::int8,
	(pg_current_wal_insert_lsn() - '0/0'::pg_lsn)::int8
	FROM pg_class WHERE relnamespace = 'public'::regnamespace AND relkind = 'r'`

func (b *bench) state(ctx context.Context) (s state, err error) {
	if err = b.db.QueryRow(ctx, sizes).Scan(&s.bytes, &s.brief, &s.wal); err != nil {
		return s, err
	}
	if s.database, err = treeTime(b.pid); err != nil {
		return s, err
	}
	s.own, err = ownTime()
	return s, err
}

// cost does something and tells what one of n took. A checkpoint comes before: the first change of each page after
// one puts the whole page into the log, as it does every few minutes in earnest.
func (b *bench) cost(ctx context.Context, n int, do func() error) (s scale.Stored, err error) {
	if _, err := b.db.Exec(ctx, `CHECKPOINT`); err != nil {
		return s, err
	}
	before, err := b.state(ctx)
	if err != nil {
		return s, err
	}
	if err := do(); err != nil {
		return s, err
	}
	after, err := b.state(ctx)
	each := func(x int64) float64 { return float64(x) / float64(n) }
	s.Service, s.Database = micro(after.own-before.own, n), micro(after.database-before.database, n)
	s.Bytes, s.Brief, s.WAL = each(after.bytes-before.bytes), each(after.brief-before.brief), each(after.wal-before.wal)
	return s, err
}

// some are lines of a list, of kinds drawn alike.
func (b *bench) some(n int) string {
	out := make([]string, n)
	for i, at := range b.rng.Perm(b.book.Snapshot.Len())[:n] {
		out[i] = fmt.Sprintf(`{"species":%q,"count":%d}`, b.book.Snapshot.At(at).ID, 1+b.rng.IntN(12))
	}
	return "[" + strings.Join(out, ",") + "]"
}

// tanks stores tanks and readings. A tank is judged in the background when it was stored, which belongs to it.
func (b *bench) tanks(ctx context.Context, f *scale.Figures) (err error) {
	if f.Tank, err = b.cost(ctx, tanks, func() error {
		for i := range tanks {
			body := fmt.Sprintf(`{"label":"Row %d, tank %d","external_ref":"T-%05d","tank":{"size":"120x50x50cm","temperature_c":25,"ph":7,"gh_dh":8,"planted":true},"residents":%s}`, i/20, i%20, i, b.some(residents))
			if _, err := b.ask(ctx, http.MethodPost, "/v1/tanks", body, fmt.Sprint("tank-", i)); err != nil {
				return err
			}
		}
		return b.screened(ctx)
	}); err != nil {
		return err
	}
	var ids []string
	rows, err := b.db.Query(ctx, `SELECT id::text FROM tanks`)
	if err == nil {
		ids, err = pgx.CollectRows(rows, pgx.RowTo[string])
	}
	if err != nil {
		return err
	}
	f.Reading, err = b.cost(ctx, readings, func() error {
		for i := range readings {
			body := fmt.Sprintf(`{"temperature_c":%.1f,"ph":%.1f}`, 24+b.rng.Float64(), 6.8+b.rng.Float64()/2)
			if _, err := b.ask(ctx, http.MethodPost, "/v1/tanks/"+url.PathEscape(ids[i%len(ids)])+"/readings", body, fmt.Sprint("reading-", i)); err != nil {
				return err
			}
		}
		return nil
	})
	return err
}

// screened waits until every tank is judged.
func (b *bench) screened(ctx context.Context) error {
	for {
		var open int
		if err := b.db.QueryRow(ctx, `SELECT (SELECT count(*) FROM tanks) - (SELECT count(*) FROM tank_screenings)`).Scan(&open); err != nil || open == 0 {
			return err
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(time.Second):
		}
	}
}

func (b *bench) records(ctx context.Context, f *scale.Figures) (err error) {
	f.Record, err = b.cost(ctx, records, func() error {
		for i := range records {
			body := fmt.Sprintf(`{"record":true,"external_ref":"sale-%d","tank":{"size":"120x50x50cm","temperature_c":25},"residents":%s,"incoming":%s}`, i, b.some(lines-1), b.some(1))
			n, err := b.ask(ctx, http.MethodPost, "/v1/checks", body, fmt.Sprint("sale-", i))
			if err != nil {
				return err
			}
			f.CheckBytes += float64(n) / records
		}
		return nil
	})
	return err
}

func (b *bench) lists(ctx context.Context, f *scale.Figures) error {
	s, err := b.cost(ctx, pages, func() error {
		for range pages {
			if _, err := b.ask(ctx, http.MethodGet, "/v1/tanks?limit=50", "", ""); err != nil {
				return err
			}
		}
		return nil
	})
	f.List = s.Cost
	return err
}
