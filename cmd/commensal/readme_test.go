package main

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"commensal/internal/store/dbtest"
)

const readme = "../../README.md"

// fenced returns the texts of the README's fenced blocks in one language.
func fenced(t *testing.T, language string) (blocks []string) {
	t.Helper()
	data, err := os.ReadFile(readme)
	if err != nil {
		t.Fatal(err)
	}
	rest := string(data)
	for {
		_, after, ok := strings.Cut(rest, "```"+language+"\n")
		if !ok {
			return blocks
		}
		block, left, _ := strings.Cut(after, "```")
		blocks, rest = append(blocks, block), left
	}
}

func TestEveryCommandOfTheReadmeRuns(t *testing.T) {
	t.Parallel()
	bin := t.TempDir()
	if out, err := exec.CommandContext(t.Context(), "go", "build", "-o", filepath.Join(bin, "commensal"), ".").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	if _, err := exec.LookPath("curl"); err != nil {
		t.Fatal("the README's commands need curl: install it (Debian: apt-get install curl)")
	}
	s := serve(t, environment{"DATABASE_URL": dbtest.New(t)}, "--migrate")
	commands := 0
	for _, block := range fenced(t, "sh") {
		for line := range strings.Lines(block) {
			line = strings.TrimSpace(line)
			if line == "" {
				continue
			}
			commands++
			runReadmeLine(t, bin, s.base, line)
		}
	}
	if commands < 8 {
		t.Errorf("only %d commands found: is the README still fenced as sh?", commands)
	}
}

// decided are the exit statuses by which `commensal check` tells its decision.
var decided = map[int]bool{0: true, 3: true, 4: true}

func runReadmeLine(t *testing.T, bin, base, line string) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	cmd := exec.CommandContext(ctx, "sh", "-c", strings.ReplaceAll(line, "http://127.0.0.1:8080", base))
	cmd.Dir = filepath.Dir(readme)
	cmd.Env = append(os.Environ(), "PATH="+bin+string(os.PathListSeparator)+os.Getenv("PATH"))
	out, err := cmd.CombinedOutput()
	status := cmd.ProcessState.ExitCode()
	if err != nil && !(strings.Contains(line, "commensal check") && decided[status]) {
		t.Errorf("%s: %v\n%s", line, err, out)
	}
	if len(out) == 0 || strings.Contains(string(out), `"status":4`) || strings.Contains(string(out), `"status":5`) {
		t.Errorf("%s answers %s", line, out)
	}
}

func TestTheReadmesAnswerIsTheRealOne(t *testing.T) {
	t.Parallel()
	out := mustRun(t, nil, "pair", "oscar", "neon tetra")
	shown := strings.TrimSpace(strings.Join(fenced(t, "text"), "\x00"))
	// The last line names the release, which differs from build to build.
	body, _, _ := strings.Cut(out, "Model ")
	if !strings.Contains(shown, strings.TrimSpace(body)) {
		t.Errorf("the README no longer shows what the program answers:\n%s", out)
	}
}

func TestTheReadmesTwoCommandsRunInCI(t *testing.T) {
	t.Parallel()
	ci, err := os.ReadFile("../../.ci/run")
	if err != nil {
		t.Fatal(err)
	}
	smoke, err := os.ReadFile("../../deploy/smoke-run.sh")
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"make test", "deploy/smoke-run.sh", "make lint", "make catalogue-verify"} {
		if !strings.Contains(string(ci), want) {
			t.Errorf(".ci/run does not run %s", want)
		}
	}
	if !strings.Contains(string(smoke), "bin/commensal serve") || !strings.Contains(string(smoke), "ensure-postgres.sh run") {
		t.Error("deploy/smoke-run.sh does not do what make run does")
	}
}
