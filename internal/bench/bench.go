// Package bench measures the service on this machine: how many answers a second, how that compares
// with a bare server in the same run, and how fast they come at a steady pace. It talks to loopback only.
package bench

import (
	"context"
	"fmt"
	"net"
	"net/http"
	"time"

	"commensal/api"
	"commensal/internal/conflict"
	"commensal/internal/loadtest"
	"commensal/internal/localcli"

	"github.com/labstack/echo/v4"
)

// Options say how long and how hard to ask.
type Options struct {
	Seconds     float64 // for each question, in each of three ways
	Connections int     // kept open
	Version     string  // of the program, for the answers
}

// loadShare is the share of the greatest pace at which times are measured.
const loadShare = 0.8

// Figures are what one question came to.
type Figures struct {
	Question  string  `json:"question"`
	Bytes     int     `json:"bytes"`
	PerSecond float64 `json:"answers_per_second"`
	Bare      float64 `json:"bare_per_second"`
	Ratio     float64 `json:"ratio"`
	HalfMS    float64 `json:"half_within_ms"`
	P99MS     float64 `json:"p99_within_ms"`
}

// Run asks every question, one after the other.
func Run(ctx context.Context, book *conflict.Book, o Options) (all []Figures, err error) {
	for _, q := range questions() {
		f, err := q.measure(ctx, book, &o)
		if err != nil {
			return nil, err
		}
		all = append(all, f)
	}
	return all, nil
}

// measure asks one question in rounds with a bare server, then at a steady pace.
func (q *question) measure(ctx context.Context, book *conflict.Book, o *Options) (f Figures, err error) {
	service, err := q.service(book, o.Version)
	if err != nil {
		return f, err
	}
	answer, problem, err := localcli.Question(service, q.method, q.path, q.body(0))
	if err != nil {
		return f, fmt.Errorf("%s: %w", q.name, err)
	}
	if problem != nil {
		return f, fmt.Errorf("%s: status %d: %s", q.name, problem.Status, answer)
	}
	bare := echo.New()
	bare.Add(q.method, "/*", func(c echo.Context) error {
		return c.JSONBlob(http.StatusOK, answer)
	})
	f = Figures{Question: q.name, Bytes: len(answer)}
	err = onLoopback(ctx, o, service, bare, func(ours, theirs *loadtest.Target) error {
		return f.fill(ctx, q, o, ours, theirs)
	})
	return f, err
}

// service is the service without a database, with its metrics; the limit is out of the
// way, and answers are kept only where the question says so.
func (q *question) service(book *conflict.Book, version string) (http.Handler, error) {
	cfg := api.Config{
		Book:    func() *conflict.Book { return book },
		Version: version, RateLimit: api.RateLimit{Quota: 1 << 30},
	}
	if !q.kept {
		cfg.CacheBytes = -1
	}
	s, err := api.New(cfg)
	if err != nil {
		return nil, err
	}
	return s.Handler(), nil
}

// onLoopback serves two handlers on loopback while do runs.
func onLoopback(ctx context.Context, o *Options, ours, theirs http.Handler, do func(ours, theirs *loadtest.Target) error) error {
	var targets [2]*loadtest.Target
	for i, h := range [...]http.Handler{ours, theirs} {
		l, err := net.Listen("tcp", "127.0.0.1:0")
		if err != nil {
			return err
		}
		server := &http.Server{Handler: h, ReadHeaderTimeout: 10 * time.Second}
		go server.Serve(l) // ends with Close below
		defer server.Close()
		if targets[i], err = loadtest.Dial(ctx, l.Addr().String(), o.Connections); err != nil {
			return err
		}
		defer targets[i].Close()
	}
	return do(targets[0], targets[1])
}

// benchRounds is how often the two servers take turns, so that a machine that slows
// down slows both.
const benchRounds = 10

func (f *Figures) fill(ctx context.Context, q *question, o *Options, ours, theirs *loadtest.Target) error {
	round := time.Duration(o.Seconds / benchRounds * float64(time.Second))
	var asked, bare rate
	for range benchRounds {
		for _, side := range []struct {
			at *loadtest.Target
			to *rate
		}{{ours, &asked}, {theirs, &bare}} {
			r, err := side.at.Rush(ctx, q.requests, round)
			if err != nil {
				return fmt.Errorf("%s: %w", q.name, err)
			}
			side.to.add(&r)
		}
	}
	f.PerSecond, f.Bare = asked.perSecond(), bare.perSecond()
	f.Ratio = f.PerSecond / f.Bare
	steady, err := ours.Pace(ctx, q.requests, loadShare*f.PerSecond, time.Duration(o.Seconds*float64(time.Second)))
	if err != nil {
		return fmt.Errorf("%s: %w", q.name, err)
	}
	f.HalfMS, f.P99MS = milliseconds(steady.Quantile(0.5)), milliseconds(steady.Quantile(0.99))
	return nil
}

func milliseconds(d time.Duration) float64 { return float64(d) / float64(time.Millisecond) }

// rate adds up runs.
type rate struct {
	count   int
	elapsed time.Duration
}

func (r *rate) add(run *loadtest.Result) {
	r.count += run.Count()
	r.elapsed += run.Elapsed
}

func (r *rate) perSecond() float64 { return float64(r.count) / r.elapsed.Seconds() }
