// Command peers lets other ways to score pairs of fish take turns with ours: one simple formula of four factors as a
// self-join in PostgreSQL, in cel-go, in expr and in plain Go, and beside them our whole model, over the pairs of the
// built-in catalogue. Everybody has one processor. It is a module of its own, so that the peers stay out of the
// product's.
//
//	cd internal/loadtest/peers && go run .
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/signal"
	"strings"
	"syscall"
	"time"

	"commensal/internal/loadtest"
)

func main() {
	rounds := flag.Int("rounds", 5, "how often each takes its turn; the median counts")
	into := flag.String("into", "", "put the table into this file too, between its marks")
	flag.Parse()
	if *rounds < 1 || flag.NArg() > 0 {
		fmt.Fprintln(os.Stderr, "usage: peers [-rounds 5] [-into FILE]")
		os.Exit(2)
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	err := run(ctx, *rounds, *into)
	stop()
	if err != nil {
		fmt.Fprintln(os.Stderr, "peers:", err)
		os.Exit(1)
	}
}

func run(ctx context.Context, rounds int, into string) (err error) {
	c, err := newContest(ctx)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, c.close(context.Background())) }()
	times, err := c.takeTurns(ctx, rounds)
	if err != nil {
		return err
	}
	table := c.table(times, rounds)
	fmt.Print(table)
	if into != "" {
		return loadtest.PutInto(into, "peers", table)
	}
	return nil
}

// takeTurns is for each peer and round the time for all pairs.
func (c *contest) takeTurns(ctx context.Context, rounds int) (times [][]time.Duration, err error) {
	times = make([][]time.Duration, len(c.peers))
	for range rounds {
		for i, p := range c.peers {
			start := time.Now()
			if err := p.all(ctx, nil); err != nil {
				return nil, fmt.Errorf("%s: %w", p.name, err)
			}
			times[i] = append(times[i], time.Since(start))
		}
	}
	return times, nil
}

// wholeModels are how many of the peers score with the whole model; they come last.
const wholeModels = 2

// table tells the medians, and how many times as fast our whole model is: the median of the rounds' ratios.
func (c *contest) table(times [][]time.Duration, rounds int) string {
	var b strings.Builder
	b.WriteString("| who | formula | ns a pair | our whole model is so many times as fast |\n| --- | --- | ---: | ---: |\n")
	pairs := float64(len(c.fish)) * float64(len(c.fish))
	whole := times[len(times)-1]
	for i, p := range c.peers {
		formula := "simple, 4 factors"
		if i >= len(c.peers)-wholeModels {
			formula = "ours, all factors and traits"
		}
		var ratios, took []float64
		for round, d := range times[i] {
			ratios, took = append(ratios, float64(d)/float64(whole[round])), append(took, float64(d)/pairs)
		}
		fmt.Fprintf(&b, "| %s | %s | %.0f | %.2f |\n", p.name, formula, loadtest.Median(took), loadtest.Median(ratios))
	}
	fmt.Fprintf(&b, "\n- All %.0f ordered pairs of the %d kinds of the built-in catalogue, %d rounds in turns, medians; each on one processor.\n", pairs, len(c.fish), rounds)
	return b.String()
}
