package main

import (
	"context"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"commensal/internal/bench"
)

// builtBench runs the built program, as a bench starts itself again.
func builtBench(t *testing.T, args ...string) (stdout string) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), 2*time.Minute)
	defer cancel()
	var errs strings.Builder
	cmd := exec.CommandContext(ctx, filepath.Join(builtProgram(t), "commensal"), append([]string{"bench"}, args...)...)
	cmd.Env = append(os.Environ(), "TMPDIR="+shortTemp(t))
	cmd.Stderr = &errs
	out, err := cmd.Output()
	if err != nil || errs.Len() > 0 {
		t.Fatalf("%v\n%s", err, errs.String())
	}
	return string(out)
}

// shortTemp is a temporary folder in which every user may enter, as PostgreSQL does, and of which nothing is to be left.
func shortTemp(t *testing.T) string {
	t.Helper()
	dir, err := os.MkdirTemp("", "cb")
	if err != nil {
		t.Fatal(err)
	}
	if err := os.Chmod(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if left, err := os.ReadDir(dir); err != nil || len(left) > 0 {
			t.Errorf("left behind: %v %v", left, err)
		}
		if err := os.RemoveAll(dir); err != nil {
			t.Error(err)
		}
	})
	return dir
}

func TestBenchMeasuresEveryQuestionOnThisMachine(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "README.md")
	if err := os.WriteFile(file, []byte("# Speed\n<!-- commensal bench: begin -->\n<!-- commensal bench: end -->\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	var r bench.Report
	if out := builtBench(t, "--seconds", "0.1", "--connections", "2", "--json", "--into", file); json.Unmarshal([]byte(out), &r) != nil {
		t.Fatal(out)
	}
	if text, err := os.ReadFile(file); err != nil || strings.Count(string(text), "\n| ") != 2+17 || !strings.Contains(string(text), "| pairing, not modified (304) | 0 | ") {
		t.Errorf("%v\n%s", err, text)
	}
	if len(r.Figures) != 17 || r.Rest <= 0 || r.After <= 0 {
		t.Errorf("%d of 17 questions; %v, %v bytes", len(r.Figures), r.Rest, r.After)
	}
	stored := 0
	for _, f := range r.Figures {
		if f.PerSecond <= 0 || f.Bare <= 0 || f.Ratio <= 0 || f.P99MS < f.HalfMS || f.P99MS <= 0 || f.Objects <= 0 || f.Allocated <= 0 ||
			(f.Bytes == 0) != strings.Contains(f.Question, "304") {
			t.Errorf("%+v", f)
		}
		if strings.Contains(f.BareIs, "pgx") {
			stored++
		}
	}
	if stored != 2 {
		t.Errorf("%d of 2 questions store something", stored)
	}
}

func TestBenchRefusesFlagsThatMeanNothing(t *testing.T) {
	for _, args := range [][]string{{"bench", "--seconds", "0"}, {"bench", "--seconds", "NaN"}, {"bench", "--connections", "0"}, {"bench", "--connections", "1000"},
		{"bench", "--client", "curl"}, {"bench", "--only", "no such question"}, {"bench", "here"}} {
		if status, _, errs := run(t, nil, args...); status != exitUsage || errs == "" {
			t.Errorf("%s: %d %s", strings.Join(args, " "), status, errs)
		}
	}
}
