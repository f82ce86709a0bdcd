package main

import (
	"context"
	"encoding/json"
	"fmt"
	"io/fs"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"commensal/internal/store/dbtest"
)

const (
	root   = "../.." // of the tree
	readme = root + "/README.md"
)

// readmes lists the README.md files of the tree: that of the top and those of the rooms.
func readmes(t *testing.T) (files []string) {
	t.Helper()
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && (d.Name() == ".git" || d.Name() == "bin" || d.Name() == "node_modules"):
			return filepath.SkipDir
		case d.Name() == "README.md":
			files = append(files, path)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return files
}

// fenced returns the texts of a document's fenced blocks in one language.
func fenced(t *testing.T, file, language string) (blocks []string) {
	t.Helper()
	data, err := os.ReadFile(file)
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

// The documents are read in a clone in which make run is running: bin/commensal is there, and the service
// answers on the port that they name.
func TestEveryCommandOfTheDocumentsRuns(t *testing.T) {
	t.Parallel()
	clone := clone(t)
	dsn := dbtest.New(t)
	s := serve(t, environment{"DATABASE_URL": dsn}, "--migrate")
	env := append(readersVariables(t, s, dsn), "DATABASE_URL="+dsn, "COMMENSAL_ADDR="+strings.TrimPrefix(s.base, "http://"),
		"PATH="+filepath.Join(clone, "bin")+string(os.PathListSeparator)+os.Getenv("PATH"))
	commands := map[string]int{}
	for _, file := range readmes(t) {
		for _, block := range fenced(t, file, "sh") {
			for line := range strings.Lines(strings.ReplaceAll(block, "\\\n", "")) {
				if line = strings.TrimSpace(line); line != "" && line[0] != '#' {
					commands[file]++
					runDocumentedLine(t, clone, env, s.base, file, line)
				}
			}
		}
	}
	for file, least := range map[string]int{"README.md": 5, "api/README.md": 15, "cmd/commensal/README.md": 12, "db/catalogue/README.md": 5, "deploy/README.md": 1} {
		if n := commands[filepath.Join(root, file)]; n < least {
			t.Errorf("only %d commands found in %s: is it still fenced as sh?", n, file)
		}
	}
}

// clone is a folder like a clone of the tree after make build, in which documents may be followed.
func clone(t *testing.T) (dir string) {
	t.Helper()
	dir = t.TempDir()
	tree, err := filepath.Abs(root)
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"db", "deploy", "testdata", "openapi.yaml"} {
		if err := os.Symlink(filepath.Join(tree, name), filepath.Join(dir, name)); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Symlink(builtProgram(t), filepath.Join(dir, "bin")); err != nil {
		t.Fatal(err)
	}
	return dir
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

// readersVariables are what a reader has set by then: keys, and the ids of a tank and of a record on hold.
func readersVariables(t *testing.T, s *served, dsn string) []string {
	t.Helper()
	env := environment{"DATABASE_URL": dsn}
	key, _ := makeKey(t, env, "--organization", "Reef corner", "--scope", "tanks:read,tanks:write,checks:read,checks:write,reports:write,stock:read,stock:write")
	curator, _ := makeKey(t, env, "--organization", "curators", "--scope", "curate")
	status, header, body := s.send(t, http.MethodPost, "/v1/tanks", key, `{"tank":{"size":"100x40x40cm"},"residents":[{"species":"neon tetra","count":12}]}`)
	if status != http.StatusCreated {
		t.Fatalf("%d %s", status, body)
	}
	tank := header.Get("Location")
	status, header, body = s.send(t, http.MethodPost, "/v1/checks", key, `{"record":true,"residents":[{"species":"neon tetra"},{"species":"oscar"}]}`)
	if status != http.StatusCreated {
		t.Fatalf("%d %s", status, body)
	}
	return []string{"KEY=" + key, "CURATOR=" + curator, "TANK=" + filepath.Base(tank), "CHECK=" + filepath.Base(header.Get("Location"))}
}

// decided are the exit statuses by which `commensal check` tells its decision.
var decided = map[int]bool{0: true, 3: true, 4: true}

func runDocumentedLine(t *testing.T, clone string, env []string, base, file, line string) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	cmd := exec.CommandContext(ctx, "sh", "-c", strings.ReplaceAll(line, "http://127.0.0.1:8080", base))
	cmd.Dir = clone
	cmd.Env = append(os.Environ(), env...)
	out, err := cmd.CombinedOutput()
	status := cmd.ProcessState.ExitCode()
	if err != nil && !(strings.Contains(line, "commensal check") && decided[status]) {
		t.Errorf("%s: %s: %v\n%s", file, line, err, out)
	}
	if len(out) == 0 || strings.Contains(string(out), `"status":4`) || strings.Contains(string(out), `"status":5`) {
		t.Errorf("%s: %s answers %s", file, line, out)
	}
}

func TestTheReadmeIsShort(t *testing.T) {
	t.Parallel()
	text, err := os.ReadFile(readme)
	if err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(string(text), "\n"); n > 180 {
		t.Errorf("%d lines: what is for one room belongs into its README", n)
	}
}

func TestEverySettingOfTheServiceIsDocumented(t *testing.T) {
	t.Parallel()
	text, err := os.ReadFile(root + "/deploy/README.md")
	if err != nil {
		t.Fatal(err)
	}
	variables := regexp.MustCompile(`\[([A-Z_]+)\]`).FindAllStringSubmatch(mustRun(t, nil, "serve", "--help"), -1)
	if len(variables) < 9 {
		t.Fatalf("only %d settings found", len(variables))
	}
	for _, v := range variables {
		if !strings.Contains(string(text), "`"+v[1]+"`") {
			t.Errorf("deploy/README.md has no row for %s", v[1])
		}
	}
}

var link = regexp.MustCompile(`\]\(([^)#:]+)(#[^)]*)?\)`)

func TestEveryLinkOfTheDocumentsLeadsSomewhere(t *testing.T) {
	t.Parallel()
	for _, file := range append(readmes(t), root+"/DEVELOPERS.md", root+"/db/catalogue/COVERAGE.md") {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range link.FindAllStringSubmatch(string(text), -1) {
			if _, err := os.Stat(filepath.Join(filepath.Dir(file), m[1])); err != nil {
				t.Errorf("%s: %v", file, err)
			}
		}
	}
}

func TestTheReadmesAnswerIsTheRealOne(t *testing.T) {
	t.Parallel()
	// The last line names the release, which differs from build to build.
	body, _, _ := strings.Cut(mustRun(t, nil, "pair", "oscar", "neon tetra"), beforeRelease)
	for _, shown := range fenced(t, readme, "text") {
		answer, _, ok := strings.Cut(shown, beforeRelease)
		if !ok {
			continue
		}
		if *update {
			rewrite(t, readme, answer, body)
		} else if answer != body {
			t.Errorf("the README no longer shows what the program answers; go test ./cmd/commensal -run Real -update shows it anew:\n%s", body)
		}
		return
	}
	t.Error("the README shows no answer")
}

// beforeRelease stands in the last line of an answer before the release.
const beforeRelease = ", commensal "

// rewrite puts a text in the place of another.
func rewrite(t *testing.T, file, old, text string) {
	t.Helper()
	data, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, []byte(strings.Replace(string(data), old, text, 1)), 0o644); err != nil {
		t.Fatal(err)
	}
}

func TestTheDocumentedJSONIsPartOfTheRealAnswer(t *testing.T) {
	t.Parallel()
	const file = "README.md"
	blocks := fenced(t, file, "json")
	if len(blocks) != 1 {
		t.Fatalf("the program's README shows %d answers in JSON, and this test knows one", len(blocks))
	}
	var shown, real any
	if err := json.Unmarshal([]byte(blocks[0]), &shown); err != nil {
		t.Fatal(err)
	}
	out := mustRun(t, nil, "pair", "jack-dempsey", "oscar", "--tank", "180x60x60cm", "--temperature", "26", "--cover", "0.85", "--json")
	if err := json.Unmarshal([]byte(out), &real); err != nil {
		t.Fatal(err)
	}
	if *update {
		rewrite(t, file, blocks[0], indented(t, partOf(real, shown)))
		return
	}
	for _, difference := range missingFrom(real, shown, "") {
		t.Error(difference)
	}
}

// partOf is as much of a whole answer as a shortened one shows.
func partOf(whole, short any) any {
	switch short := short.(type) {
	case map[string]any:
		object, _ := whole.(map[string]any)
		part := map[string]any{}
		for name, value := range short {
			part[name] = partOf(object[name], value)
		}
		return part
	case []any:
		list, _ := whole.([]any)
		part := make([]any, min(len(short), len(list)))
		for i := range part {
			part[i] = partOf(list[i], short[i])
		}
		return part
	}
	return whole
}

func indented(t *testing.T, value any) string {
	t.Helper()
	var b strings.Builder
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(value); err != nil {
		t.Fatal(err)
	}
	return b.String()
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

func TestWhatIsAskedWhereIsThere(t *testing.T) {
	t.Parallel()
	text, err := os.ReadFile(root + "/DEVELOPERS.md")
	if err != nil {
		t.Fatal(err)
	}
	_, section, _ := strings.Cut(string(text), "\n## Where is …?\n")
	section, _, _ = strings.Cut(section, "\n## ")
	questions := strings.Split(section, "\n- **")[1:]
	if len(questions) < 10 {
		t.Errorf("%d questions", len(questions))
	}
	for _, q := range questions {
		file, hops := "", 0
		for _, m := range quoted.FindAllStringSubmatch(q, -1) {
			switch name := m[1]; {
			case strings.ContainsAny(name, "/."):
				file = name
				hops++
			case file == "":
				t.Errorf("%q names %s and no file", q, name)
			default:
				holdsName(t, file, name)
			}
		}
		if hops == 0 || hops > 2 {
			t.Errorf("%d files to look into: %s", hops, q)
		}
	}
}

var quoted = regexp.MustCompile("`([^`]+)`")

// holdsName wants a file to declare a name, or, where it is no Go file, to have it.
func holdsName(t *testing.T, file, name string) {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(root, file))
	if err != nil {
		t.Error(err)
		return
	}
	declares := regexp.MustCompile(`(?m)^(func (\([^)]*\) )?|type |var |const |\t)` + name + `\b`)
	if filepath.Ext(file) != ".go" {
		declares = regexp.MustCompile(`\b` + name + `\b`)
	}
	if !declares.Match(text) {
		where, _ := exec.CommandContext(t.Context(), "grep", "-rlE", "--include=*.go", `^(func (\([^)]*\) )?|type |var |const )`+name+`\b`, filepath.Join(root, filepath.Dir(file))).Output()
		t.Errorf("DEVELOPERS.md: %s does not declare %s any more; these do: %s", file, name, where)
	}
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
