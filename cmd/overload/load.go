package main

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"net/http"
	"time"

	"commensal/internal/loadtest"
)

// round is what was measured once of lists of one length.
type round struct {
	quiet       loadtest.Result // one after the other
	best, under loadtest.Overloaded
	beside      []loadtest.Overloaded
	// What the service used of a processor meanwhile; 0 where nobody says.
	bestCPU, underCPU time.Duration
}

// perCPU is how much of what it serves at its best for the same time of a processor it serves under overload: a
// machine that does other things too disturbs it less than the pace.
func (r *round) perCPU() float64 {
	if r.bestCPU == 0 || r.underCPU == 0 {
		return math.NaN()
	}
	return float64(r.under.Served.Count()) / float64(r.best.Served.Count()) * r.bestCPU.Seconds() / r.underCPU.Seconds()
}

// measure takes turns between the lengths, and tells the medians of each.
func (o *options) measure(ctx context.Context, w io.Writer, ids []string, lines []int) error {
	rounds := make([][]round, len(lines))
	for i := range o.rounds {
		for k, n := range lines {
			r, err := o.round(ctx, lists(ids, n), int64(i))
			if err != nil {
				return fmt.Errorf("%d lines: %w", n, err)
			}
			rounds[k] = append(rounds[k], r)
		}
	}
	fmt.Fprintf(w, "%.1f times what can be done was asked for, over %d connections; medians of %d rounds of %.0f s\n\n", o.times, o.connections, o.rounds, o.seconds)
	fmt.Fprintln(w, "| lines | alone p99 ms | best a second | served of that | by processor time | p99 ms | to alone | refused | livez p99 ms | a lookup p99 ms | lookups refused |")
	fmt.Fprintln(w, "| ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: |")
	for k, n := range lines {
		tell(w, n, rounds[k])
	}
	return nil
}

func tell(w io.Writer, lines int, rounds []round) {
	median := func(of func(*round) float64) float64 {
		values := make([]float64, len(rounds))
		for i := range rounds {
			values[i] = of(&rounds[i])
		}
		return loadtest.Median(values)
	}
	p99 := func(r *loadtest.Result) float64 { return float64(r.Quantile(0.99).Microseconds()) / 1000 }
	fmt.Fprintf(w, "| %d | %.2f | %.0f | %.0f %% | %.0f %% | %.2f | %.1f | %.0f %% | %.2f | %.2f | %.0f |\n", lines,
		median(func(r *round) float64 { return p99(&r.quiet) }),
		median(func(r *round) float64 { return r.best.Served.PerSecond() }),
		median(func(r *round) float64 { return 100 * r.under.Served.PerSecond() / r.best.Served.PerSecond() }),
		median(func(r *round) float64 { return 100 * r.perCPU() }),
		median(func(r *round) float64 { return p99(&r.under.Served) }),
		median(func(r *round) float64 { return p99(&r.under.Served) / p99(&r.quiet) }),
		median(func(r *round) float64 { return 100 * (1 - r.under.Share()) }),
		median(func(r *round) float64 { return p99(&r.beside[0].Served) }),
		median(func(r *round) float64 { return p99(&r.beside[1].Served) }),
		median(func(r *round) float64 { return float64(r.beside[0].Refused.Count() + r.beside[1].Refused.Count()) }))
}

// round measures once: what one client alone gets, the best pace, and what is left of both under overload.
func (o *options) round(ctx context.Context, lists func(part int64) loadtest.Source, number int64) (r round, err error) {
	d := time.Duration(o.seconds * float64(time.Second))
	if r.quiet, err = on(ctx, o.addr, 1, func(t *loadtest.Target) (loadtest.Result, error) { return t.Rush(ctx, lists(3*number), d) }); err != nil {
		return r, err
	}
	used := o.used()
	r.best, err = on(ctx, o.addr, 4, func(t *loadtest.Target) (loadtest.Overloaded, error) { // 4 keep it busy
		return t.Overload(ctx, lists(3*number+1), 1e6, d)
	})
	if err != nil {
		return r, err
	}
	r.bestCPU = o.used() - used
	settled := make(chan time.Duration, 1)
	time.AfterFunc(o.settling(), func() { settled <- o.used() })
	r.under, r.beside, err = o.overload(ctx, lists(3*number+2), r.best.Served.PerSecond(), d)
	r.underCPU = o.used() - <-settled
	return r, err
}

// settling is for how long nothing of the overload is measured.
func (o *options) settling() time.Duration { return time.Duration(o.settle * float64(time.Second)) }

// used is how much of processors the service has used so far; 0 where its process is not known.
func (o *options) used() time.Duration {
	if o.process == 0 {
		return 0
	}
	used, _ := loadtest.CPU(o.process)
	return used
}

// on runs a part of the test over connections of its own.
func on[R any](ctx context.Context, addr string, connections int, part func(*loadtest.Target) (R, error)) (r R, err error) {
	t, err := loadtest.Dial(ctx, addr, connections)
	if err != nil {
		return r, err
	}
	defer func() { err = errors.Join(err, t.Close()) }()
	return part(t)
}

// besides is how many times a second each bystander is asked for.
const besides = 10

// bystanders are what is asked for beside the overload.
var bystanders = []string{"/livez", "/v1/pairings/oscar/guppy"}

// overload asks for too much, and for a little of the cheap things beside it. What is asked for while it settles is not counted.
func (o *options) overload(ctx context.Context, lists loadtest.Source, best float64, d time.Duration) (under loadtest.Overloaded, beside []loadtest.Overloaded, err error) {
	settle := o.settling()
	beside = make([]loadtest.Overloaded, len(bystanders))
	done := make(chan error, len(bystanders))
	for i, path := range bystanders {
		go func() {
			var err error
			beside[i], err = on(ctx, o.addr, 2, func(t *loadtest.Target) (loadtest.Overloaded, error) {
				return t.OverloadAfter(ctx, loadtest.Always(loadtest.Request(http.MethodGet, path, nil)), besides, settle, d)
			})
			done <- err
		}()
	}
	under, err = on(ctx, o.addr, o.connections, func(t *loadtest.Target) (loadtest.Overloaded, error) {
		return t.OverloadAfter(ctx, lists, o.times*best, settle, d)
	})
	for range bystanders {
		err = errors.Join(err, <-done)
	}
	return under, beside, err
}

// species lists ids of the service's catalogue.
func species(ctx context.Context, addr string) (ids []string, err error) {
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, "http://"+addr+"/v1/species?limit=200", nil)
	if err != nil {
		return nil, err
	}
	answer, err := http.DefaultClient.Do(request)
	if err != nil {
		return nil, err
	}
	defer answer.Body.Close()
	var page struct {
		Species []struct {
			ID string `json:"id"`
		} `json:"species"`
	}
	if err := json.NewDecoder(answer.Body).Decode(&page); err != nil {
		return nil, err
	}
	for _, s := range page.Species {
		ids = append(ids, s.ID)
	}
	if len(ids) == 0 {
		return nil, errors.New("the service knows no species")
	}
	return ids, nil
}

// line is a line of a list.
type line struct {
	Species string `json:"species"`
	Count   int64  `json:"count"`
}

// lists gives, for each part of the test, checks of so many lines of which no two are alike, so that none is
// answered from a cache.
func lists(ids []string, lines int) func(part int64) loadtest.Source {
	return func(part int64) loadtest.Source {
		return func(n int64) []byte {
			residents := make([]line, lines)
			for i := range residents {
				residents[i] = line{ids[(int64(i)*7+n)%int64(len(ids))], 1 + n/int64(len(ids))%500}
			}
			return check(fmt.Sprintf("%dx100x100cm", 300+part), residents)
		}
	}
}

// check is a request for a check of a list in a tank.
func check(size string, residents []line) []byte {
	body, err := json.Marshal(map[string]any{"tank": map[string]any{"size": size}, "residents": residents})
	if err != nil {
		panic(err) // of strings and numbers: cannot be
	}
	return loadtest.Request(http.MethodPost, "/v1/checks", body)
}
