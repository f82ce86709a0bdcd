package mutate

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
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
	Packages []string      // whose tests are asked
	Args     []string      // further arguments of go test
	Patience time.Duration // after which tests count as hung
}

// Sound runs the tests on the source as it is, and returns how long they took. Tests that fail before
// anything was changed tell nothing.
func (t Trial) Sound(ctx context.Context) (time.Duration, error) {
	begin := time.Now()
	out, err := t.command(ctx, "").CombinedOutput()
	if err != nil {
		return 0, fmt.Errorf("mutate: the tests fail as it is: %w\n%s", err, tail(out))
	}
	return time.Since(begin), nil
}

// Try runs the tests on one mutant.
func (t Trial) Try(ctx context.Context, m Mutant) (Outcome, error) {
	scratch, err := os.MkdirTemp("", "commensal-mutant-")
	if err != nil {
		return "", fmt.Errorf("mutate: %w", err)
	}
	defer os.RemoveAll(scratch)
	overlay, err := writeOverlay(scratch, m)
	if err != nil {
		return "", fmt.Errorf("mutate: %w", err)
	}
	limited, cancel := context.WithTimeout(ctx, t.Patience)
	defer cancel()
	out, err := t.command(limited, overlay).CombinedOutput()
	var failed *exec.ExitError
	switch {
	case ctx.Err() != nil:
		return "", ctx.Err()
	case limited.Err() != nil:
		return Hung, nil
	case err == nil:
		return Survived, nil
	case !errors.As(err, &failed):
		return "", fmt.Errorf("mutate: go test: %w", err)
	case bytes.Contains(out, []byte("[build failed]")), bytes.Contains(out, []byte("[setup failed]")):
		return Impossible, nil
	}
	return Caught, nil
}

// writeOverlay writes the changed file, and the note by which go test takes it for the original.
func writeOverlay(scratch string, m Mutant) (overlay string, err error) {
	original, err := filepath.Abs(m.File)
	if err != nil {
		return "", err
	}
	source, err := os.ReadFile(original)
	if err != nil {
		return "", err
	}
	changed := filepath.Join(scratch, filepath.Base(original))
	if err := os.WriteFile(changed, m.Apply(source), 0o600); err != nil {
		return "", err
	}
	note, err := json.Marshal(map[string]map[string]string{"Replace": {original: changed}})
	if err != nil {
		return "", err
	}
	overlay = filepath.Join(scratch, "overlay.json")
	return overlay, os.WriteFile(overlay, note, 0o600)
}

// command runs go test in a process group of its own, so that tests which hang end with it.
func (t Trial) command(ctx context.Context, overlay string) *exec.Cmd {
	// Vetting would refuse some comparisons that only a mutant has.
	args := []string{"test", "-count=1", "-failfast", "-vet=off"}
	if overlay != "" {
		args = append(args, "-overlay="+overlay)
	}
	cmd := exec.CommandContext(ctx, "go", append(append(args, t.Args...), t.Packages...)...)
	cmd.Dir = t.Dir
	cmd.SysProcAttr = &syscall.SysProcAttr{Setpgid: true}
	cmd.Cancel = func() error { return syscall.Kill(-cmd.Process.Pid, syscall.SIGKILL) }
	cmd.WaitDelay = time.Second
	return cmd
}

// tail is the end of an output.
func tail(out []byte) []byte { return out[max(0, len(out)-2000):] }
