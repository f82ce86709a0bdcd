package main

import (
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"commensal/internal/scale"
)

// written is the table of deploy/SCALE.md below a heading.
func written(t *testing.T, heading string) []string {
	t.Helper()
	text, err := os.ReadFile("../../deploy/SCALE.md")
	if err != nil {
		t.Fatal(err)
	}
	_, after, ok := strings.Cut(string(text), "\n## "+heading+"\n")
	if !ok {
		t.Fatalf("deploy/SCALE.md has no %q", heading)
	}
	section, _, _ := strings.Cut(after, "\n## ")
	return rows(section)
}

// rows are the lines of tables in a text.
func rows(text string) (out []string) {
	for line := range strings.Lines(text) {
		if strings.HasPrefix(line, "|") {
			out = append(out, strings.TrimSpace(line))
		}
	}
	return out
}

func figures(t *testing.T) *scale.Figures {
	t.Helper()
	f, err := readFigures("../../" + figuresFile)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

// What the document says of a load is what the figures come to.
func TestTheTableInTheDocumentIsComputedFromTheFigures(t *testing.T) {
	t.Parallel()
	var out strings.Builder
	if err := writeTable(&out, figures(t)); err != nil {
		t.Fatal(err)
	}
	if got, want := written(t, "What it takes"), rows(out.String()); strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("deploy/SCALE.md is not current; go run ./cmd/scale table prints\n%s", out.String())
	}
}

// The figures in the document's text and tables are those of the file.
func TestTheFiguresInTheDocumentAreTheMeasuredOnes(t *testing.T) {
	t.Parallel()
	f := figures(t)
	text := strings.Join(written(t, "What was measured"), "\n")
	for what, x := range map[string]float64{"a pairing asked before": f.CachedPairing, "a pairing computed anew": f.ComputedPairing} {
		if want := "| " + what + " | " + scale.Digits(x) + " µs | " + scale.Digits(math.Round(1e6/x)) + " |"; !strings.Contains(text, want) {
			t.Errorf("deploy/SCALE.md does not say %s", want)
		}
	}
	for what, s := range map[string]scale.Stored{"a tank with six lines": f.Tank, "a reading": f.Reading, "a recorded check of eight lines": f.Record} {
		cells := []string{what}
		for _, x := range []float64{s.Service, s.Database, s.Bytes, s.Brief, s.WAL} {
			cells = append(cells, scale.Digits(x))
		}
		if want := "| " + strings.Join(cells, " | ") + " |"; !strings.Contains(text, want) {
			t.Errorf("deploy/SCALE.md does not say %s", want)
		}
	}
}

var percents = regexp.MustCompile(`(\d+), (\d+), (\d+) %`)

// apart is how far the three may be from what the document says. The service's own cache tidies up beside those who ask, so
// that it differs each time, and the more the slower the machine is.
var apart = [3]float64{10, 3, 3}

// What the document says of the cache comes out again. It has more the larger it is, and never more than the best.
func TestWhatTheCacheHasByPopularity(t *testing.T) {
	t.Parallel()
	f, table := figures(t), written(t, "How much the cache has")
	if len(table) != len(cacheSizes)+2 {
		t.Fatalf("the table has %d lines", len(table))
	}
	for column, s := range exponents {
		if raceDetected && s != 0.8 {
			continue // each takes half a minute then
		}
		p, err := scale.NewPairs(f.Kinds, s)
		if err != nil {
			t.Fatal(err)
		}
		var before [3]float64
		for row, mib := range cacheSizes {
			got := shares(p, f, mib)
			cells := percents.FindAllStringSubmatch(table[row+2], -1)
			if len(cells) != len(exponents) || !strings.HasPrefix(table[row+2], "| "+strconv.Itoa(mib)+" MiB |") {
				t.Fatalf("the line of %d MiB is %s", mib, table[row+2])
			}
			for i, had := range got {
				said, _ := strconv.ParseFloat(cells[column][i+1], 64)
				if math.Abs(said-had) > apart[i] {
					t.Errorf("%d MiB, s = %v: deploy/SCALE.md says %v %% and it comes to %.1f %%", mib, s, said, had)
				}
				if had < before[i]-0.5 {
					t.Errorf("%d MiB, s = %v: %.1f %%, after %.1f %% with less memory", mib, s, had, before[i])
				}
				if had > got[2]+0.5 {
					t.Errorf("%d MiB, s = %v: %.1f %%, more than the best, %.1f %%", mib, s, had, got[2])
				}
			}
			if got[0] < got[1]-6 { // it lets nothing in at once, and a large one has not seen enough yet
				t.Errorf("%d MiB, s = %v: the service's cache has %.1f %%, the plainest one %.1f %%", mib, s, got[0], got[1])
			}
			before = got
		}
	}
}

func TestWhatCannotBeToldIsSaid(t *testing.T) {
	t.Parallel()
	for _, args := range [][]string{nil, {"table", "x"}, {"prices"}} {
		if err := run(t.Context(), args, &strings.Builder{}); err == nil {
			t.Errorf("%v is done", args)
		}
	}
}
