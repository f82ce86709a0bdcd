package mutate

import (
	"bytes"
	"cmp"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"time"
)

// Outcome is what became of a mutant.
type Outcome string

// The outcomes.
const (
	Caught     Outcome = "caught"     // a test failed
	Survived   Outcome = "survived"   // every test passed
	Impossible Outcome = "impossible" // it does not compile, which says nothing
	Hung       Outcome = "hung"       // the tests did not end in time, which is caught as well
)

// Trial says how tests are run.
type Trial struct {
	Dir      string        // of the module
	Packages []Package     // whose tests are asked
	Args     []string      // further arguments of the test programs
	Patience time.Duration // after which tests count as hung
	Quick    bool          // only the quick tests of packages are asked
	stages   [][]string    // by package: patterns of the names of its tests, the quick ones first
}

// Sound runs the tests on the source as it is, and returns how long they took. Tests that fail before
// anything was changed tell nothing. From then on the quick tests are asked first.
func (t *Trial) Sound(ctx context.Context) (time.Duration, error) {
	begin := time.Now()
	scratch, err := os.MkdirTemp("", "commensal-mutant-")
	if err != nil {
		return 0, fmt.Errorf("mutate: %w", err)
	}
	defer os.RemoveAll(scratch)
	if out, err := t.build(ctx, scratch, ""); err != nil {
		return 0, fmt.Errorf("mutate: the tests do not compile: %w\n%s", err, tail(out))
	}
	t.stages = make([][]string, len(t.Packages))
	for i := range t.Packages {
		out, err := t.program(ctx, scratch, i, noMutant, "-test.v").CombinedOutput()
		if err != nil {
			return 0, fmt.Errorf("mutate: the tests fail as it is: %w\n%s", err, tail(out))
		}
		t.stages[i] = stages(out)
	}
	return time.Since(begin), nil
}

// quickShare is the share of the time of all tests of a package that its quick ones take together.
const quickShare = 0.1

var passed = regexp.MustCompile(`(?m)^--- PASS: (\S+) \(([0-9.]+)s\)`)

// stages parts the tests that passed, as test programs tell, into quick ones and others, each as the
// pattern of their names. Where they are of one sort there is one pattern, for all.
func stages(out []byte) []string {
	type test struct {
		name    string
		seconds float64
	}
	var tests []test
	whole := 0.0
	for _, m := range passed.FindAllSubmatch(out, -1) {
		seconds, _ := strconv.ParseFloat(string(m[2]), 64)
		tests = append(tests, test{string(m[1]), seconds})
		whole += seconds
	}
	slices.SortStableFunc(tests, func(a, b test) int { return cmp.Compare(a.seconds, b.seconds) })
	names, quick, sum := make([]string, len(tests)), 0, 0.0
	for i, test := range tests {
		names[i] = test.name
		if sum += test.seconds; sum <= quickShare*whole {
			quick = i + 1
		}
	}
	if quick == 0 || quick == len(tests) {
		return []string{"."}
	}
	return []string{pattern(names[:quick]), pattern(names[quick:])}
}

func pattern(names []string) string { return "^(" + strings.Join(names, "|") + ")$" }

// Try builds the tests with one mutant and runs them.
func (t *Trial) Try(ctx context.Context, m Mutant) (Outcome, error) {
	scratch, err := os.MkdirTemp("", "commensal-mutant-")
	if err != nil {
		return "", fmt.Errorf("mutate: %w", err)
	}
	defer os.RemoveAll(scratch)
	source, err := os.ReadFile(m.File)
	if err != nil {
		return "", fmt.Errorf("mutate: %w", err)
	}
	overlay, err := writeOverlay(scratch, map[string][]byte{m.File: m.Apply(source)})
	if err != nil {
		return "", fmt.Errorf("mutate: %w", err)
	}
	var failed *exec.ExitError
	switch _, err := t.build(ctx, scratch, overlay); {
	case ctx.Err() != nil:
		return "", ctx.Err()
	case errors.As(err, &failed):
		return Impossible, nil
	case err != nil:
		return "", fmt.Errorf("mutate: go test: %w", err)
	}
	return t.ask(ctx, scratch, noMutant)
}

// ask runs the test programs of a directory until a test fails, the quick tests first.
func (t *Trial) ask(ctx context.Context, scratch string, number int) (Outcome, error) {
	limited, cancel := context.WithTimeout(ctx, t.Patience)
	defer cancel()
	for stage := range 2 {
		for i, stages := range t.stages {
			if stage >= len(stages) || stage > 0 && t.Quick {
				continue
			}
			err := t.program(limited, scratch, i, number, "-test.run="+stages[stage], "-test.failfast").Run()
			var failed *exec.ExitError
			switch {
			case ctx.Err() != nil:
				return "", ctx.Err()
			case limited.Err() != nil:
				return Hung, nil
			case errors.As(err, &failed):
				return Caught, nil
			case err != nil:
				return "", fmt.Errorf("mutate: %w", err)
			}
		}
	}
	return Survived, nil
}

// writeOverlay writes changed files, and the note by which the go tool takes them for the originals.
func writeOverlay(scratch string, files map[string][]byte) (overlay string, err error) {
	replace := map[string]string{}
	for name, text := range files {
		original, err := filepath.Abs(name)
		if err != nil {
			return "", err
		}
		replace[original] = filepath.Join(scratch, fmt.Sprintf("%d_%s", len(replace), filepath.Base(name)))
		if err := os.WriteFile(replace[original], text, 0o600); err != nil {
			return "", err
		}
	}
	note, err := json.Marshal(map[string]map[string]string{"Replace": replace})
	if err != nil {
		return "", err
	}
	overlay = filepath.Join(scratch, "overlay.json")
	return overlay, os.WriteFile(overlay, note, 0o600)
}

// build makes the test programs, one for each package, in a directory.
func (t *Trial) build(ctx context.Context, scratch, overlay string) (out []byte, err error) {
	for i, p := range t.Packages {
		// Vetting would refuse some comparisons that only a mutant has.
		args := []string{"test", "-c", "-vet=off", "-o", programOf(scratch, i)}
		if overlay != "" {
			args = append(args, "-overlay="+overlay)
		}
		cmd := exec.CommandContext(ctx, "go", append(args, p.ImportPath)...)
		cmd.Dir = t.Dir
		if out, err := cmd.CombinedOutput(); err != nil {
			return out, err
		}
	}
	return nil, nil
}

func programOf(scratch string, i int) string {
	return filepath.Join(scratch, strconv.Itoa(i)+".test")
}

// The mutant of a shared build that a test program takes is told it by its environment.
const (
	numberVariable = "COMMENSAL_MUTANT"
	noMutant       = 0
)

// program is the test program of a package, in a process group of its own, so that tests which hang end
// with what they have started.
func (t *Trial) program(ctx context.Context, scratch string, i, number int, args ...string) *exec.Cmd {
	cmd := exec.CommandContext(ctx, programOf(scratch, i), slices.Concat(args, t.Packages[i].quiet, t.Args)...)
	cmd.Dir, cmd.Env = t.Packages[i].Dir, append(os.Environ(), numberVariable+"="+strconv.Itoa(number))
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	cmd.Cancel = func() error { return syscall.Kill(-cmd.Process.Pid, syscall.SIGKILL) }
	cmd.WaitDelay = time.Second
	return cmd
}

// tail is the end of an output.
func tail(out []byte) []byte { return bytes.TrimSpace(out[max(0, len(out)-2000):]) }
