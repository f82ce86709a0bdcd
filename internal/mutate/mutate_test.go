package mutate

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

const source = `package p

import "errors"

const (
	pinned = 0.5 // the tests know it
	loose  = 2
	flags  = 1 << iota
	none   = 0
	word   = "3"
)

func F(x float64) bool { return x < pinned }

func G(n int) int {
	if n == 7 || n/loose > 10 {
		return 1
	}
	if err := errors.New("x"); err != nil {
		return none + flags
	}
	return len(word)
}
`

const sourceTest = `package p

import "testing"

func TestF(t *testing.T) {
	if !F(0.45) || F(0.5) || F(0.6) {
		t.Error("F")
	}
}
`

func find(t *testing.T, kinds Kinds) (lines []string, all []Mutant) {
	t.Helper()
	all, err := Find("p.go", []byte(source), kinds)
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range all {
		lines = append(lines, m.String())
	}
	return lines, all
}

func TestConstantsAreChangedBothWays(t *testing.T) {
	t.Parallel()
	got, _ := find(t, Kinds{Constants: true, Share: 0.35})
	want := []string{
		"p.go:6: pinned: 0.5 becomes 0.675", "p.go:6: pinned: 0.5 becomes 0.325",
		"p.go:7: loose: 2 becomes 3", "p.go:7: loose: 2 becomes 1", "p.go:9: none: 0 becomes 1",
	}
	if !slices.Equal(got, want) {
		t.Errorf("got\n%s", strings.Join(got, "\n"))
	}
}

func TestComparisonsAreTurnedAndErrorsLeftAlone(t *testing.T) {
	t.Parallel()
	got, _ := find(t, Kinds{Comparisons: true})
	want := []string{"p.go:13: x < pinned: < becomes >=", "p.go:16: n == 7: == becomes !=", "p.go:16: n/loose > 10: > becomes <="}
	if !slices.Equal(got, want) {
		t.Errorf("got\n%s", strings.Join(got, "\n"))
	}
	got, _ = find(t, Kinds{Boundaries: true})
	if want := []string{"p.go:13: x < pinned: < becomes <=", "p.go:16: n/loose > 10: > becomes >="}; !slices.Equal(got, want) {
		t.Errorf("got\n%s", strings.Join(got, "\n"))
	}
}

func TestAMutantDiffersInItsTextAlone(t *testing.T) {
	t.Parallel()
	_, all := find(t, Kinds{Constants: true, Share: 0.35, Comparisons: true, Boundaries: true})
	for _, m := range all {
		changed := string(m.Apply([]byte(source)))
		if len(changed)-len(source) != len(m.Is)-len(m.Was) || changed == source || strings.Count(changed, "\n") != strings.Count(source, "\n") {
			t.Errorf("%s:\n%s", m, changed)
		}
	}
}

// module writes a module of its own, of which one half is tested.
func module(t *testing.T, source string) (trial Trial, p Package) {
	t.Helper()
	dir := t.TempDir()
	for name, text := range map[string]string{"go.mod": "module p\n\ngo 1.26\n", "p.go": source, "p_test.go": sourceTest} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	packages, err := Packages(t.Context(), dir, "./...")
	if err != nil || len(packages) != 1 {
		t.Fatal(packages, err)
	}
	trial = Trial{Dir: dir, Packages: packages, Patience: 2 * time.Minute}
	if _, err := trial.Sound(t.Context()); err != nil {
		t.Fatal(err)
	}
	return trial, packages[0]
}

func mutantsOf(t *testing.T, p Package, kinds Kinds) []Mutant {
	t.Helper()
	mutants, err := p.Mutants(kinds)
	if err != nil {
		t.Fatal(err)
	}
	return mutants
}

func TestASweepTellsWhatNoTestMinds(t *testing.T) {
	t.Parallel()
	trial, p := module(t, source)
	mutants := mutantsOf(t, p, Kinds{Constants: true, Share: 0.35, Comparisons: true, Boundaries: true})
	var out bytes.Buffer
	tally, err := Sweep(t.Context(), &out, &trial, mutants, 2)
	if err != nil {
		t.Fatal(err)
	}
	if tally[Caught] != 4 || tally[Survived] != 6 || tally[Impossible] != 0 {
		t.Errorf("%v\n%s", tally, out.String())
	}
	if text := out.String(); strings.Contains(text, "pinned") || strings.Count(text, "loose") != 4 {
		t.Errorf("survivors:\n%s", text)
	}
	if left, err := os.ReadFile(filepath.Join(p.Dir, "p.go")); err != nil || string(left) != source {
		t.Errorf("the source was touched: %v", err)
	}
}

// moreSource has constants of which some are made of others, and one that no build can share: the length of an array.
const moreSource = `package p

type share float64

const (
	half   share = 0.5
	pinned       = half / 2 * 2
	length       = 3
	third        = 1 / 3.0
)

var table = [length]int{2: 7}

func F(x share) bool { return x < pinned && table[2] == 7 && G(float64(x)) }

func G(x float64) bool { return x*(1-third) < 9 }
`

// TestASharedBuildTellsTheSame holds the mutants of one build against those that have each their own.
func TestASharedBuildTellsTheSame(t *testing.T) {
	t.Parallel()
	trial, p := module(t, moreSource)
	mutants := mutantsOf(t, p, Kinds{Constants: true, Share: 0.35, Comparisons: true})
	mutants = slices.CompactFunc(mutants, func(a, b Mutant) bool { return a.start == b.start })
	shared, err := trial.Share(t.Context(), p, mutants)
	if err != nil {
		t.Fatal(err)
	}
	defer shared.Close()
	if got, want := shared.Len(), len(mutants)-1; got != want {
		t.Errorf("%d of %d mutants in one build, want %d", got, len(mutants), want)
	}
	caught := 0
	for _, m := range mutants {
		got, err := shared.Try(t.Context(), m)
		want, err2 := trial.Try(t.Context(), m)
		if err != nil || err2 != nil || got != want {
			t.Errorf("%s: %s %v, alone %s %v", m, got, err, want, err2)
		}
		if got == Caught {
			caught++
		}
	}
	if caught < 3 || caught == len(mutants) {
		t.Errorf("%d of %d are caught", caught, len(mutants))
	}
}

func TestQuickTestsComeFirst(t *testing.T) {
	t.Parallel()
	out := "=== RUN   TestA\n--- PASS: TestA (9.00s)\n    --- PASS: TestA/b (9.00s)\n--- PASS: TestB (0.10s)\n--- PASS: TestC (0.00s)\nPASS\n"
	if got, want := stages([]byte(out)), []string{"^(TestC|TestB)$", "^(TestA)$"}; !slices.Equal(got, want) {
		t.Errorf("got %q", got)
	}
	if got := stages([]byte("--- PASS: TestA (0.00s)\n--- PASS: TestB (0.00s)\n")); !slices.Equal(got, []string{"."}) {
		t.Errorf("all of one sort: %q", got)
	}
}
