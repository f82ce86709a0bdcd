// Command overload asks a running service for twice as much as it can do, and tells how it
// holds up: how fast what it serves is served, how much of its best pace it keeps, and
// whether cheap lookups and the health check are still answered beside it.
//
//	commensal serve --rate-limit 0 &
//	taskset -c 1 go run ./cmd/overload -addr 127.0.0.1:8080
//
// The client is cheap; where there is a processor to spare, pin it there. It talks to
// loopback only.
package main

import (
	"context"
	"encoding/json"
	"errors"
	"flag"
	"fmt"
	"io"
	"net/http"
	"os"
	"os/signal"
	"time"

	"commensal/internal/loadtest"
)

// options say whom to ask, and how hard.
type options struct {
	addr        string
	lines       int
	seconds     float64
	connections int
	times       float64
}

func main() {
	o := options{}
	flag.StringVar(&o.addr, "addr", "127.0.0.1:8080", "where the service answers")
	flag.IntVar(&o.lines, "lines", 20, "lines of the lists to check, 1 to 200")
	flag.Float64Var(&o.seconds, "seconds", 5, "how long each of three parts takes")
	flag.IntVar(&o.connections, "connections", 128, "connections for the overload")
	flag.Float64Var(&o.times, "times", 2, "how many times what can be done is asked for")
	flag.Parse()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if err := o.run(ctx, os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "overload:", err)
		os.Exit(1)
	}
}

func (o *options) run(ctx context.Context, w io.Writer) error {
	if o.lines < 1 || o.lines > 200 || o.seconds <= 0 || o.connections < 1 || o.times <= 0 {
		return errors.New("a number is out of range; see -help")
	}
	ids, err := o.species(ctx)
	if err != nil {
		return err
	}
	lists := o.lists(ids)
	d := time.Duration(o.seconds * float64(time.Second))
	quiet, err := on(ctx, o.addr, 1, func(t *loadtest.Target) (loadtest.Result, error) { return t.Rush(ctx, lists(0), d) })
	if err != nil {
		return err
	}
	best, err := on(ctx, o.addr, 4, func(t *loadtest.Target) (loadtest.Overloaded, error) { // 4 keep it busy
		return t.Overload(ctx, lists(1), 1e6, d)
	})
	if err != nil {
		return err
	}
	under, beside, err := o.overload(ctx, lists(2), best.Served.PerSecond(), d)
	if err != nil {
		return err
	}
	o.tell(w, &quiet, &best, &under, beside)
	return nil
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

// bystanders are what is asked for beside the overload, ten times a second each.
var bystanders = []string{"/livez", "/v1/pairings/oscar/guppy"}

// overload asks for too much, and for a little of the cheap things beside it.
func (o *options) overload(ctx context.Context, lists loadtest.Source, best float64, d time.Duration) (under loadtest.Overloaded, beside []loadtest.Overloaded, err error) {
	beside = make([]loadtest.Overloaded, len(bystanders))
	done := make(chan error, len(bystanders))
	for i, path := range bystanders {
		go func() {
			var err error
			beside[i], err = on(ctx, o.addr, 2, func(t *loadtest.Target) (loadtest.Overloaded, error) {
				return t.Overload(ctx, loadtest.Always(loadtest.Request(http.MethodGet, path, nil)), 10, d)
			})
			done <- err
		}()
	}
	under, err = on(ctx, o.addr, o.connections, func(t *loadtest.Target) (loadtest.Overloaded, error) {
		return t.Overload(ctx, lists, o.times*best, d)
	})
	for range bystanders {
		err = errors.Join(err, <-done)
	}
	return under, beside, err
}

// tell prints what was measured; ratios matter, times are those of this machine.
func (o *options) tell(w io.Writer, quiet *loadtest.Result, best, under *loadtest.Overloaded, beside []loadtest.Overloaded) {
	ms := func(r *loadtest.Result) float64 { return float64(r.Quantile(0.99).Microseconds()) / 1000 }
	fmt.Fprintf(w, "checks of %d lines\n", o.lines)
	fmt.Fprintf(w, "  alone      99 of 100 within %8.2f ms\n", ms(quiet))
	fmt.Fprintf(w, "  best pace  %.0f a second\n", best.Served.PerSecond())
	fmt.Fprintf(w, "  %.1f times that is asked for: %.0f served a second (%.0f %% of the best), 99 of 100 within %.2f ms (%.1f times alone), %.0f %% refused\n",
		o.times, under.Served.PerSecond(), 100*under.Served.PerSecond()/best.Served.PerSecond(), ms(&under.Served), ms(&under.Served)/ms(quiet), 100*(1-under.Share()))
	for i, path := range bystanders {
		fmt.Fprintf(w, "  beside it %s: %d of %d served, 99 of 100 within %.2f ms\n",
			path, beside[i].Served.Count(), beside[i].Served.Count()+beside[i].Refused.Count(), ms(&beside[i].Served))
	}
}

// species lists ids of the service's catalogue.
func (o *options) species(ctx context.Context) (ids []string, err error) {
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, "http://"+o.addr+"/v1/species?limit=200", nil)
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

// lists gives, for each part of the test, checks of which no two are alike, so that none is
// answered from a cache.
func (o *options) lists(ids []string) func(part int64) loadtest.Source {
	type line struct {
		Species string `json:"species"`
		Count   int64  `json:"count"`
	}
	return func(part int64) loadtest.Source {
		return func(n int64) []byte {
			residents := make([]line, o.lines)
			for i := range residents {
				residents[i] = line{ids[(int64(i)*7+n)%int64(len(ids))], 1 + n/int64(len(ids))%500}
			}
			body, err := json.Marshal(map[string]any{
				"tank":      map[string]any{"size": fmt.Sprintf("%dx100x100cm", 300+part)},
				"residents": residents,
			})
			if err != nil {
				panic(err) // of strings and numbers: cannot be
			}
			return loadtest.Request(http.MethodPost, "/v1/checks", body)
		}
	}
}
