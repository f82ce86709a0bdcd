// Command benchgate compares the speed of this tree with that of a commit: it builds the test binaries of both,
// lets ten named benchmarks take turns, and fails where one of them has lost more than a tenth, and that is not chance.
// It is a module of its own, so that the statistics stay out of the product's.
//
//	make bench-gate BASE=main
//
// A machine that does something else at the same time slows both sides alike; what it adds is noise, which hides a loss
// sooner than it invents one.
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"os"
	"os/signal"
	"syscall"
)

// errLost says that the gate is shut.
var errLost = errors.New("slower than the base")

func main() {
	g := &gate{log: os.Stderr}
	flag.StringVar(&g.base, "base", "", "the commit to compare with (required)")
	flag.StringVar(&g.root, "root", "../..", "the tree")
	flag.IntVar(&g.rounds, "rounds", 10, "how often each benchmark runs on each side, at least 5")
	flag.StringVar(&g.time, "time", "200ms", "how long each run takes, as in go test -benchtime")
	flag.Parse()
	if g.base == "" || g.rounds < 5 || flag.NArg() > 0 {
		fmt.Fprintln(os.Stderr, "usage: benchgate -base COMMIT [-root TREE] [-rounds 10] [-time 200ms]; BASE=COMMIT with make")
		os.Exit(2)
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	err := g.run(ctx, os.Stdout)
	stop()
	if err != nil {
		fmt.Fprintln(os.Stderr, "benchgate:", err)
		os.Exit(1)
	}
}
