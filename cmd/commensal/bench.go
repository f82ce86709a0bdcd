package main

import (
	"context"
	"encoding/json"
	"fmt"
	"net"
	"net/http"
	"runtime"
	"time"

	"commensal/api"
	"commensal/internal/conflict"
	"commensal/internal/loadtest"
	"commensal/internal/localcli"

	"github.com/labstack/echo/v4"
	"github.com/spf13/cobra"
)

// benchOptions say how long and how hard to ask.
type benchOptions struct {
	seconds     float64
	connections int
	asJSON      bool
}

func (p *Program) benchCommand() *cobra.Command {
	o := &benchOptions{}
	cmd := &cobra.Command{
		Use:   "bench",
		Short: "Measure this machine: how many answers a second, and how fast",
		Long: "bench starts the service on loopback without a database, asks it as fast as it answers, round by round with\n" +
			"a bare echo server that returns as many bytes, and gives the ratio of the two. Then it asks at 80 % of the\n" +
			"pace found, at even distances, and gives the times within which half and 99 of 100 answers came, counted from\n" +
			"when each was due. Client and servers share the processors of this machine.",
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error { return p.bench(cmd.Context(), o) },
	}
	cmd.Flags().Float64Var(&o.seconds, "seconds", 2, "how long to ask each question, 0.1 to 60 seconds, in each of three ways")
	cmd.Flags().IntVar(&o.connections, "connections", 4*runtime.GOMAXPROCS(0), "connections kept open, 1 to 256")
	cmd.Flags().BoolVar(&o.asJSON, "json", false, "print the figures as JSON")
	return cmd
}

// loadShare is the share of the greatest pace at which times are measured.
const loadShare = 0.8

func (o *benchOptions) check() error {
	switch {
	case !(o.seconds >= 0.1 && o.seconds <= 60):
		return usagef("--seconds cannot be %v: write 0.1 to 60", o.seconds)
	case o.connections < 1 || o.connections > 256:
		return usagef("--connections cannot be %d: write 1 to 256", o.connections)
	}
	return nil
}

// benchFigures are what one question came to.
type benchFigures struct {
	Question  string  `json:"question"`
	Bytes     int     `json:"bytes"`
	PerSecond float64 `json:"answers_per_second"`
	Bare      float64 `json:"bare_per_second"`
	Ratio     float64 `json:"ratio"`
	HalfMS    float64 `json:"half_within_ms"`
	P99MS     float64 `json:"p99_within_ms"`
}

func (p *Program) bench(ctx context.Context, o *benchOptions) error {
	if err := o.check(); err != nil {
		return err
	}
	p.collectSeldom()
	book, err := builtInBook()
	if err != nil {
		return err
	}
	var all []benchFigures
	for _, q := range benchQuestions() {
		f, err := q.measure(ctx, book, o)
		if err != nil {
			return err
		}
		all = append(all, f)
	}
	if o.asJSON {
		return json.NewEncoder(p.Stdout).Encode(all)
	}
	return writeBench(p.Stdout, all, o)
}

// measure asks one question in rounds with a bare server, then at a steady pace.
func (q *benchQuestion) measure(ctx context.Context, book *conflict.Book, o *benchOptions) (f benchFigures, err error) {
	service, err := q.service(book)
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
	f = benchFigures{Question: q.name, Bytes: len(answer)}
	err = onLoopback(ctx, o, service, bare, func(ours, theirs *loadtest.Target) error {
		return f.fill(ctx, q, o, ours, theirs)
	})
	return f, err
}

// service is the service without a database, with its metrics; the limit is out of the
// way, and answers are kept only where the question says so.
func (q *benchQuestion) service(book *conflict.Book) (http.Handler, error) {
	cfg := api.Config{
		Book:    func() *conflict.Book { return book },
		Version: programVersion(), RateLimit: api.RateLimit{Quota: 1 << 30},
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
func onLoopback(ctx context.Context, o *benchOptions, ours, theirs http.Handler, do func(ours, theirs *loadtest.Target) error) error {
	var targets [2]*loadtest.Target
	for i, h := range [...]http.Handler{ours, theirs} {
		l, err := net.Listen("tcp", "127.0.0.1:0")
		if err != nil {
			return err
		}
		server := &http.Server{Handler: h, ReadHeaderTimeout: 10 * time.Second}
		go server.Serve(l) // ends with Close below
		defer server.Close()
		if targets[i], err = loadtest.Dial(ctx, l.Addr().String(), o.connections); err != nil {
			return err
		}
		defer targets[i].Close()
	}
	return do(targets[0], targets[1])
}

// benchRounds is how often the two servers take turns, so that a machine that slows
// down slows both.
const benchRounds = 10

func (f *benchFigures) fill(ctx context.Context, q *benchQuestion, o *benchOptions, ours, theirs *loadtest.Target) error {
	round := time.Duration(o.seconds / benchRounds * float64(time.Second))
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
	steady, err := ours.Pace(ctx, q.requests, loadShare*f.PerSecond, time.Duration(o.seconds*float64(time.Second)))
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
