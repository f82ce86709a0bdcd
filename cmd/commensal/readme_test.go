package main

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
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
	bin := builtProgram(t)
	dsn := dbtest.New(t)
	s := serve(t, environment{"DATABASE_URL": dsn}, "--migrate")
	env := append(keyForReadme(t, s, dsn), "DATABASE_URL="+dsn, "PATH="+bin+string(os.PathListSeparator)+os.Getenv("PATH"))
	commands := 0
	for _, block := range fenced(t, "sh") {
		for line := range strings.Lines(block) {
			line = strings.TrimSpace(line)
			if line == "" {
				continue
			}
			commands++
			runReadmeLine(t, env, s.base, line)
		}
	}
	if commands < 8 {
		t.Errorf("only %d commands found: is the README still fenced as sh?", commands)
	}
}

// builtProgram is a folder for PATH with commensal, and the tests' curl.
func builtProgram(t *testing.T) (dir string) {
	t.Helper()
	dir = t.TempDir()
	if out, err := exec.CommandContext(t.Context(), "go", "build", "-o", filepath.Join(dir, "commensal"), ".").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	withCurl(t, dir)
	return dir
}

// keyForReadme sets the variables that a reader has set by then: a key and the ids of a tank and of a
// record on hold.
func keyForReadme(t *testing.T, s *served, dsn string) []string {
	t.Helper()
	key, _ := makeKey(t, environment{"DATABASE_URL": dsn}, "--organization", "Reef corner", "--scope", "tanks:read,tanks:write,checks:read,checks:write")
	status, header, body := s.send(t, http.MethodPost, "/v1/tanks", key, `{"tank":{"size":"100x40x40cm"},"residents":[{"species":"neon tetra","count":12}]}`)
	if status != http.StatusCreated {
		t.Fatalf("%d %s", status, body)
	}
	tank := header.Get("Location")
	status, header, body = s.send(t, http.MethodPost, "/v1/checks", key, `{"record":true,"residents":[{"species":"neon tetra"},{"species":"oscar"}]}`)
	if status != http.StatusCreated {
		t.Fatalf("%d %s", status, body)
	}
	return []string{"KEY=" + key, "TANK=" + filepath.Base(tank), "CHECK=" + filepath.Base(header.Get("Location"))}
}

// decided are the exit statuses by which `commensal check` tells its decision.
var decided = map[int]bool{0: true, 3: true, 4: true}

func runReadmeLine(t *testing.T, env []string, base, line string) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	cmd := exec.CommandContext(ctx, "sh", "-c", strings.ReplaceAll(line, "http://127.0.0.1:8080", base))
	cmd.Dir = filepath.Dir(readme)
	cmd.Env = append(os.Environ(), env...)
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

func TestTheReadmesJSONIsPartOfTheRealAnswer(t *testing.T) {
	t.Parallel()
	blocks := fenced(t, "json")
	if len(blocks) != 1 {
		t.Fatalf("the README shows %d answers in JSON, and this test knows one", len(blocks))
	}
	var shown, real any
	if err := json.Unmarshal([]byte(blocks[0]), &shown); err != nil {
		t.Fatal(err)
	}
	out := mustRun(t, nil, "pair", "jack-dempsey", "oscar", "--tank", "180x60x60cm", "--temperature", "26", "--cover", "0.85", "--json")
	if err := json.Unmarshal([]byte(out), &real); err != nil {
		t.Fatal(err)
	}
	for _, difference := range missingFrom(real, shown, "") {
		t.Error(difference)
	}
}

// missingFrom lists what a shortened answer shows that the whole one does not have. A
// shortened object lacks members, a shortened list lacks its end.
func missingFrom(whole, short any, at string) (differences []string) {
	switch short := short.(type) {
	case map[string]any:
		object, _ := whole.(map[string]any)
		for name, value := range short {
			differences = append(differences, missingFrom(object[name], value, at+"/"+name)...)
		}
		return differences
	case []any:
		list, _ := whole.([]any)
		for i, value := range short {
			if i >= len(list) {
				return append(differences, fmt.Sprintf("%s/%d: there is no such item", at, i))
			}
			differences = append(differences, missingFrom(list[i], value, fmt.Sprintf("%s/%d", at, i))...)
		}
		return differences
	}
	if whole != short {
		return []string{fmt.Sprintf("%s is %v, and the README shows %v", at, whole, short)}
	}
	return nil
}

func TestTheReadmesTwoCommandsRunInCI(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ command, in string }{
		{"make run", "deploy/smoke-run.sh"}, {"deploy/smoke-run.sh", ".ci/run"}, {"make test", ".ci/run"},
		{"make test", "README.md"}, {"make run", "README.md"},
	} {
		if !commandLine(t, filepath.Join("../..", c.in), c.command) {
			t.Errorf("%s does not run %s", c.in, c.command)
		}
	}
}

// commandLine reports whether a line of a file, comments left out, has a command.
func commandLine(t *testing.T, file, command string) bool {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	for line := range strings.Lines(string(data)) {
		code, _, _ := strings.Cut(line, "#")
		if !strings.HasPrefix(code, "section ") && strings.Contains(code, command) {
			return true
		}
	}
	return false
}
