// Command mutate asks whether the tests of packages bite: see internal/mutate. It prints what no test
// minded, and ends with status 3 where there is any.
//
//	mutate ./internal/conflict ./internal/stocking/...
//	mutate -quick -comparisons=false ./internal/conflict
//	mutate -constants=false -match 'tank' ./internal/stocking
package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"regexp"
	"runtime"
	"slices"
	"strings"
	"time"

	"commensal/internal/mutate"
)

// errSurvivors says that tests did not mind some changes.
var errSurvivors = errors.New("some changes survive")

// statusSurvivors is the exit status for them.
const statusSurvivors = 3

type options struct {
	kinds    mutate.Kinds
	match    string
	also     string
	testArgs string
	quick    bool
	atOnce   int
	patterns []string
}

func main() {
	o := options{}
	flag.BoolVar(&o.kinds.Constants, "constants", true, "change named constants")
	flag.Float64Var(&o.kinds.Share, "share", 0.35, "by this share, up and down")
	flag.BoolVar(&o.kinds.Comparisons, "comparisons", true, "turn comparisons into their opposite")
	flag.BoolVar(&o.kinds.Boundaries, "boundaries", false, "move comparisons by their border; many such changes change nothing")
	flag.StringVar(&o.match, "match", "", "only changes whose line, as it is printed, matches this pattern")
	flag.StringVar(&o.also, "also", "", "packages, apart by spaces, whose tests are asked as well")
	flag.StringVar(&o.testArgs, "test", "", "further arguments of the test programs, apart by spaces: -rapid.checks=20")
	flag.BoolVar(&o.quick, "quick", false, "ask only the quick tests of a package, which together take a tenth of the time of all")
	flag.IntVar(&o.atOnce, "n", max(1, runtime.NumCPU()/2), "changes tried at a time")
	flag.Parse()
	o.patterns = flag.Args()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	err := run(ctx, os.Stdout, o)
	switch {
	case errors.Is(err, errSurvivors):
		os.Exit(statusSurvivors)
	case err != nil:
		fmt.Fprintln(os.Stderr, "mutate:", err)
		os.Exit(1)
	}
}

func run(ctx context.Context, w io.Writer, o options) error {
	match, err := regexp.Compile(o.match)
	if err != nil {
		return err
	}
	packages, err := mutate.Packages(ctx, ".", o.patterns...)
	if err != nil {
		return err
	}
	total := mutate.Tally{}
	var also []mutate.Package
	if o.also != "" {
		if also, err = mutate.Packages(ctx, ".", strings.Fields(o.also)...); err != nil {
			return err
		}
	}
	for _, p := range packages {
		asked := slices.DeleteFunc(append([]mutate.Package{p}, also...), func(p mutate.Package) bool { return !p.Tested() })
		if len(asked) == 0 {
			fmt.Fprintf(w, "%s: left out, it has no tests\n", p.ImportPath)
			continue
		}
		tally, err := sweep(ctx, w, p, asked, o, match)
		for outcome, n := range tally {
			total[outcome] += n
		}
		if err != nil {
			return err
		}
	}
	fmt.Fprintf(w, "all: %s\n", words(total))
	if total[mutate.Survived] > 0 {
		return errSurvivors
	}
	return nil
}

// sweep tries the changes of one package.
func sweep(ctx context.Context, w io.Writer, p mutate.Package, asked []mutate.Package, o options, match *regexp.Regexp) (mutate.Tally, error) {
	all, err := p.Mutants(o.kinds)
	if err != nil {
		return nil, err
	}
	here, err := os.Getwd()
	if err != nil {
		return nil, err
	}
	var mutants []mutate.Mutant
	for _, m := range all {
		if short, err := filepath.Rel(here, m.File); err == nil {
			m.File = short
		}
		if match.MatchString(m.String()) {
			mutants = append(mutants, m)
		}
	}
	if len(mutants) == 0 {
		return nil, nil
	}
	trial := mutate.Trial{Packages: asked, Args: strings.Fields(o.testArgs), Quick: o.quick}
	took, err := trial.Sound(ctx)
	if err != nil {
		return nil, err
	}
	trial.Patience = time.Minute + time.Duration(5*o.atOnce)*took
	var trier mutate.Trier = &trial
	shared, err := trial.Share(ctx, p, mutants)
	switch {
	case ctx.Err() != nil:
		return nil, ctx.Err()
	case err != nil:
		fmt.Fprintf(w, "%v\n%s: each change has a build of its own\n", err, p.ImportPath)
	default:
		defer shared.Close()
		fmt.Fprintf(w, "%s: %d changes, %d of them in one build\n", p.ImportPath, len(mutants), shared.Len())
		trier = shared
	}
	tally, err := mutate.Sweep(ctx, w, trier, mutants, o.atOnce)
	fmt.Fprintf(w, "%s: %s\n", p.ImportPath, words(tally))
	return tally, err
}

func words(t mutate.Tally) string {
	tried := t[mutate.Caught] + t[mutate.Hung] + t[mutate.Survived]
	return fmt.Sprintf("%d changes, %d caught, %d survive (%d more do not compile)", tried, t[mutate.Caught]+t[mutate.Hung], t[mutate.Survived], t[mutate.Impossible])
}
