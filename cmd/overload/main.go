// Command overload asks a service for twice as much as it can do, and tells how it
// holds up: how fast what it serves is served, how much of its best pace it keeps, and
// whether cheap lookups and the health check are still answered beside it.
//
//	make build && go run ./cmd/overload -serve bin/commensal
//
// The service is then started with a private PostgreSQL in a temporary folder, on a processor of its own, and the client, which
// is cheap, has another. With -addr a service that runs already is asked; it must not limit its clients (--rate-limit 0).
// With -memory for so long random lookups and checks are asked for instead, and what the service has in memory is told. It
// talks to loopback only.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"strconv"
	"strings"
	"syscall"
	"time"

	"commensal/internal/loadtest"
)

// options say whom to ask, and how hard.
type options struct {
	addr, serve string
	lines       string
	seconds     float64
	settle      float64
	rounds      int
	connections int
	times       float64
	memory      time.Duration
	process     int
}

func main() {
	o := options{}
	flag.StringVar(&o.addr, "addr", "127.0.0.1:8080", "where the service answers")
	flag.StringVar(&o.serve, "serve", "", "the program commensal: it is started, and ended afterwards")
	flag.StringVar(&o.lines, "lines", "4,10,20,60,200", "lines of the lists to check, each 1 to 200")
	flag.Float64Var(&o.seconds, "seconds", 5, "how long each of three parts of a round takes")
	flag.Float64Var(&o.settle, "settle", 0, "for how many seconds of the overload nothing is measured: a rush is waited for before it is overload")
	flag.IntVar(&o.rounds, "rounds", 3, "how often each is measured; medians are told")
	flag.IntVar(&o.connections, "connections", 128, "connections for the overload")
	flag.Float64Var(&o.times, "times", 2, "how many times what can be done is asked for")
	flag.DurationVar(&o.memory, "memory", 0, "ask at random for so long and tell what is resident, instead")
	flag.IntVar(&o.process, "process", 0, "the id of the service's process, with -addr: for -memory, and to tell of processor time")
	flag.Parse()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	if err := o.run(ctx, os.Stdout); err != nil {
		fmt.Fprintln(os.Stderr, "overload:", err)
		os.Exit(1)
	}
}

func (o *options) run(ctx context.Context, w io.Writer) (err error) {
	lines, err := o.check()
	if err != nil {
		return err
	}
	if o.serve != "" {
		s, err := start(ctx, o.serve)
		if err != nil {
			return err
		}
		defer func() { err = errors.Join(err, s.end()) }()
		o.addr, o.process = s.addr, s.cmd.Process.Pid
	}
	if processors := loadtest.Processors(); len(processors) > 1 {
		if err := loadtest.Pin(processors[len(processors)-1]); err != nil {
			return err
		}
	}
	ids, err := species(ctx, o.addr)
	if err != nil {
		return err
	}
	if o.memory > 0 {
		return o.remember(ctx, w, ids)
	}
	return o.measure(ctx, w, ids, lines)
}

// check reads the numbers that were asked for.
func (o *options) check() (lines []int, err error) {
	for text := range strings.SplitSeq(o.lines, ",") {
		n, err := strconv.Atoi(text)
		if err != nil || n < 1 || n > 200 {
			return nil, fmt.Errorf("-lines has %q: write numbers from 1 to 200 with commas between", text)
		}
		lines = append(lines, n)
	}
	if o.seconds <= 0 || o.settle < 0 || o.connections < 1 || o.times <= 0 || o.rounds < 1 || o.memory < 0 {
		return nil, errors.New("a number is out of range; see -help")
	}
	if o.memory > 0 && o.serve == "" && o.process == 0 {
		return nil, errors.New("-memory needs -serve, or -process beside -addr")
	}
	return lines, nil
}
