package main

import (
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

var timed, paced = &named{about: "a check", name: "Check/full", unit: perOp}, &named{about: "tanks", name: "Tanks", unit: "ours/s", greater: true}

// outputOf is the output of go test -bench with one line.
func outputOf(line string) []byte {
	return []byte("goos: linux\ngoarch: amd64\npkg: commensal/api\ncpu: Some\n" + line + "\nPASS\nok  \tcommensal/api\t1.2s\n")
}

func TestTheMeasurementOfABenchmarkIsRead(t *testing.T) {
	v, err := timed.read(outputOf("BenchmarkCheck/full-2   \t 100\t 2500000 ns/op\t 12 B/op\t 3 allocs/op"))
	if err != nil || v < 0.0025*0.999 || v > 0.0025*1.001 {
		t.Errorf("%v seconds, %v", v, err)
	}
	if v, err := paced.read(outputOf("BenchmarkTanks-2   \t 100\t 2500000 ns/op\t 431.5 ours/s\t 600 bare/s")); err != nil || v != 431.5 {
		t.Errorf("%v a second, %v", v, err)
	}
}

func TestABenchmarkThatIsNotThereIsAnError(t *testing.T) {
	for _, line := range []string{"", "BenchmarkCheck/fuller-2 \t 100\t 25 ns/op", "BenchmarkCheck-2 \t 100\t 25 ns/op", "BenchmarkCheck/full/more-2 \t 100\t 25 ns/op",
		"BenchmarkCheck/full-2 \t 100\t 25 MB/s", "BenchmarkCheck/full-2 1 2 ns/op\nBenchmarkCheck/full-2 1 2 ns/op"} {
		if v, err := timed.read(outputOf(line)); err == nil {
			t.Errorf("%q: %v", line, v)
		}
	}
	for n := range 5 {
		if v, err := timed.judge(samples{times(n, 1), times(10, 1)}); err == nil {
			t.Errorf("%d measurements: %+v", n, v)
		}
	}
}

// times are n measurements about a centre, each a little apart, as outputs have them.
func times(n int, centre float64) (list []float64) {
	for i := range n {
		list = append(list, centre*(1+0.004*float64(i%5-2)))
	}
	return list
}

// noisy are n measurements of which some are twice as long.
func noisy(n int, centre float64) (list []float64) {
	for i, v := range times(n, centre) {
		list = append(list, v*(1+float64((i*7)%10)/10))
	}
	return list
}

func TestOnlyALossThatIsLargeAndSureShutsTheGate(t *testing.T) {
	for _, c := range []struct {
		what string
		of   *named
		s    samples
		lost bool
	}{
		{"a fifth slower", timed, samples{times(10, 1), times(10, 1.2)}, true},
		{"a fifth faster", timed, samples{times(10, 1), times(10, 0.8)}, false},
		{"a twentieth slower, surely", timed, samples{times(10, 1), times(10, 1.05)}, false},
		{"the same", timed, samples{times(10, 1), times(10, 1)}, false},
		{"a fifth slower, within noise", timed, samples{noisy(10, 1), noisy(10, 1.15)}, false},
		{"twice as slow, through noise", timed, samples{noisy(10, 1), noisy(10, 2)}, true},
		{"one stray measurement", timed, samples{times(10, 1), append(times(9, 1), 30)}, false},
		{"a fifth fewer", paced, samples{times(10, 100), times(10, 80)}, true},
		{"a fifth more", paced, samples{times(10, 100), times(10, 120)}, false},
	} {
		v, err := c.of.judge(c.s)
		if err != nil || v.lost != c.lost {
			t.Errorf("%s: %+v, %v", c.what, v, err)
		}
		var out strings.Builder
		err = tell(&out, []named{*timed, *c.of}, []samples{{times(10, 1), times(10, 1)}, c.s})
		if errors.Is(err, errLost) != c.lost || c.lost && !strings.Contains(err.Error(), c.of.about) || strings.Count(out.String(), "LOST") != map[bool]int{true: 1}[c.lost] {
			t.Errorf("%s: %v\n%s", c.what, err, out.String())
		}
	}
}

// The ten are in this tree: each name leads to a benchmark of its package. That go test finds them is for the gate itself.
func TestTheNamedBenchmarksAreThere(t *testing.T) {
	if len(benchmarks) != 10 {
		t.Errorf("%d benchmarks", len(benchmarks))
	}
	for _, n := range benchmarks {
		files, err := filepath.Glob(filepath.Join("../..", n.pkg, "*_test.go"))
		if err != nil {
			t.Fatal(err)
		}
		top, _, _ := strings.Cut(n.name, "/")
		found := false
		for _, file := range files {
			text, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			found = found || strings.Contains(string(text), fmt.Sprintf("func Benchmark%s(", top))
		}
		if !found {
			t.Errorf("%s has no Benchmark%s", n.pkg, top)
		}
	}
}

func TestABaseThatIsNoCommitIsAnErrorAndLeavesNothing(t *testing.T) {
	g := &gate{base: "no-such-commit", root: "../..", rounds: 5, time: "1x", log: &strings.Builder{}}
	if err := g.run(t.Context(), &strings.Builder{}); err == nil || !strings.Contains(err.Error(), "no-such-commit") {
		t.Errorf("%v", err)
	}
	if _, err := os.Stat(g.dir); !os.IsNotExist(err) {
		t.Errorf("%s is left: %v", g.dir, err)
	}
	if out, err := exec.CommandContext(t.Context(), "git", "worktree", "list").Output(); err != nil || strings.Contains(string(out), g.dir) {
		t.Errorf("%v, worktrees:\n%s", err, out)
	}
}
