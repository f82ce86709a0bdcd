package main

import (
	"bytes"
	"fmt"
	"io"
	"strings"

	"golang.org/x/perf/benchfmt"
	"golang.org/x/perf/benchmath"
)

// mostLoss is the share of its speed that a benchmark may lose.
const mostLoss = 0.10

// samples are the measurements of one benchmark on both sides.
type samples struct{ base, now []float64 }

// verdict is what the measurements of one benchmark come to.
type verdict struct {
	base, now float64 // medians
	loss      float64 // of speed, as a share of the time or the pace of the base; negative is a gain
	p         float64 // how likely so much is without any difference
	lost      bool
}

// read takes the one measurement that is in the output of a benchmark.
func (n *named) read(output []byte) (float64, error) {
	r := benchfmt.NewReader(bytes.NewReader(output), "output")
	var found []float64
	for r.Scan() {
		result, ok := r.Result().(*benchfmt.Result)
		if !ok || !n.is(result.Name) {
			continue
		}
		if v, ok := result.Value(n.unit); ok {
			found = append(found, v)
		}
	}
	switch {
	case r.Err() != nil:
		return 0, r.Err()
	case len(found) == 0:
		return 0, fmt.Errorf("no %s of Benchmark%s in the output of %s: was it renamed?\n%s", n.unit, n.name, n.pkg, output)
	case len(found) > 1:
		return 0, fmt.Errorf("Benchmark%s ran %d times at once", n.name, len(found))
	}
	return found[0], nil
}

// is reports whether a result is that of the benchmark; the number of processors behind the name does not matter.
func (n *named) is(name benchfmt.Name) bool {
	full := name.String()
	if rest, ok := strings.CutPrefix(full, n.name); ok {
		return rest == "" || strings.HasPrefix(rest, "-") && !strings.Contains(rest, "/")
	}
	return false
}

// judge compares the two sides.
func (n *named) judge(s samples) (v verdict, err error) {
	const enough = 5 // fewer cannot tell anything from chance
	if len(s.base) < enough || len(s.now) < enough {
		return v, fmt.Errorf("Benchmark%s: %d measurements of the base and %d of this tree are too few", n.name, len(s.base), len(s.now))
	}
	base, now := benchmath.NewSample(s.base, &benchmath.DefaultThresholds), benchmath.NewSample(s.now, &benchmath.DefaultThresholds)
	const confidence = 0.95
	v.base, v.now = benchmath.AssumeNothing.Summary(base, confidence).Center, benchmath.AssumeNothing.Summary(now, confidence).Center
	c := benchmath.AssumeNothing.Compare(base, now)
	v.p = c.P
	v.loss = v.now/v.base - 1
	if n.greater {
		v.loss = v.base/v.now - 1
	}
	v.lost = v.loss > mostLoss && c.P < c.Alpha
	return v, nil
}

// tell prints a line for each benchmark, and returns [errLost] with the names of those that have lost.
func tell(w io.Writer, of []named, all []samples) error {
	var lost []string
	fmt.Fprintf(w, "%-28s %-12s %12s %12s %8s %7s\n", "benchmark", "unit", "base", "this tree", "change", "p")
	for i := range of {
		v, err := of[i].judge(all[i])
		if err != nil {
			return err
		}
		mark := ""
		if v.lost {
			mark = "  LOST"
			lost = append(lost, of[i].about)
		}
		fmt.Fprintf(w, "%-28s %-12s %12.4g %12.4g %+7.1f%% %7.3f%s\n", of[i].about, of[i].unit, v.base, v.now, 100*(v.now/v.base-1), v.p, mark)
	}
	if len(lost) > 0 {
		return fmt.Errorf("%w by more than %.0f %%: %s", errLost, 100*mostLoss, strings.Join(lost, "; "))
	}
	return nil
}
