package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"regexp"
	"strings"
	"testing"
	"time"

	"commensal/internal/store/dbtest"
)

const integration = root + "/api/INTEGRATION.md"

// halves are the parts of the document that are carried out, each in a shell and a database of its own, with the
// scopes of the key in KEY. Another half is another line, and a heading of that name in the document.
var halves = []struct{ heading, scopes string }{
	{"A rehoming desk", "tanks:read,tanks:write,manage"},
	{"A shop", "stock:read,stock:write,checks:read,checks:write"},
}

// step is a block of requests with what it answers, as the document shows it: JSON, of which a part is shown, or text as it is.
type step struct {
	commands, answer string
	text             bool
}

var fence = regexp.MustCompile("(?s)```(sh|json|text)\n(.*?)```")

// stepsOf are the steps under a heading, in order.
func stepsOf(t *testing.T, heading string) (steps []step) {
	t.Helper()
	text, err := os.ReadFile(integration)
	if err != nil {
		t.Fatal(err)
	}
	_, half, ok := strings.Cut(string(text), "\n## "+heading+"\n")
	if !ok {
		t.Fatalf("no heading %q", heading)
	}
	half, _, _ = strings.Cut(half, "\n## ")
	for _, m := range fence.FindAllStringSubmatch(half, -1) {
		switch {
		case m[1] == "sh":
			steps = append(steps, step{commands: m[2]})
		case len(steps) == 0 || steps[len(steps)-1].answer != "":
			t.Fatalf("an answer without a request: %s", m[2])
		default:
			steps[len(steps)-1].answer, steps[len(steps)-1].text = m[2], m[1] == "text"
		}
	}
	return steps
}

// The document is followed from top to bottom; what it shows is part of the real answer, which -update writes anew.
func TestTheIntegrationIsCarriedOut(t *testing.T) {
	for _, half := range halves {
		t.Run(half.heading, func(t *testing.T) {
			steps := stepsOf(t, half.heading)
			if len(steps) < 5 {
				t.Fatalf("only %d steps found: are they still fenced as sh?", len(steps))
			}
			dsn, dir := dbtest.New(t), builtProgram(t)
			s := serve(t, environment{"DATABASE_URL": dsn}, "--migrate")
			env := environment{"DATABASE_URL": dsn}
			key, _ := makeKey(t, env, "--organization", half.heading, "--scope", half.scopes)
			curator, _ := makeKey(t, env, "--organization", "curators", "--scope", "curate")
			run := &shell{t: t, base: s.base, dir: t.TempDir(), env: append(os.Environ(), "KEY="+key, "CURATOR="+curator, "PATH="+dir+string(os.PathListSeparator)+os.Getenv("PATH"))}
			for i := range steps {
				run.step(&steps[i])
			}
		})
	}
}

// shell carries out steps one after the other.
type shell struct {
	t         *testing.T
	base, dir string
	env       []string
}

// kept is the line by which a step says which value of its answer goes on.
var kept = regexp.MustCompile(`(?m)^# ([A-Z]+) is ([a-z_.]+)$`)

func (r *shell) step(s *step) {
	r.t.Helper()
	ctx, cancel := context.WithTimeout(r.t.Context(), 2*time.Minute)
	defer cancel()
	cmd := exec.CommandContext(ctx, "sh", "-c", strings.ReplaceAll(s.commands, "http://127.0.0.1:8080", r.base))
	cmd.Dir, cmd.Env = r.dir, r.env
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	if err != nil {
		r.t.Fatalf("%s: %v\n%s%s", s.commands, err, out, stderr.String())
	}
	if s.text {
		r.compareText(s, string(out))
		return
	}
	var real any
	if err := json.Unmarshal(out, &real); err != nil {
		r.t.Fatalf("%s answers no JSON: %v\n%s", s.commands, err, out)
	}
	for _, m := range kept.FindAllStringSubmatch(s.commands, -1) {
		value := real
		for name := range strings.SplitSeq(m[2], ".") {
			object, _ := value.(map[string]any)
			value = object[name]
		}
		if value == nil {
			r.t.Fatalf("%s: no %s in %s", s.commands, m[2], out)
		}
		r.env = append(r.env, m[1]+"="+fmt.Sprint(value))
	}
	if s.answer != "" {
		r.compare(s, real, out)
	}
}

// compareText holds a text that the document shows against the answer; … stands for any part of a line.
func (r *shell) compareText(s *step, out string) {
	r.t.Helper()
	shown, real := strings.Split(strings.TrimRight(s.answer, "\n"), "\n"), strings.Split(strings.TrimRight(out, "\n"), "\n")
	same := len(shown) == len(real)
	for i := range min(len(shown), len(real)) {
		like := "^" + strings.ReplaceAll(regexp.QuoteMeta(strings.TrimRight(shown[i], " \r")), "…", ".*") + "$"
		if fits, err := regexp.MatchString(like, strings.TrimRight(real[i], " \r")); err != nil || !fits {
			same = false
		} else {
			real[i] = shown[i]
		}
	}
	switch {
	case *update && !same:
		rewrite(r.t, integration, s.answer, strings.Join(real, "\n")+"\n")
	case !same:
		r.t.Errorf("%s\nshown:\n%s\nanswered:\n%s", s.commands, s.answer, out)
	}
}

// compare holds what the document shows against the answer.
func (r *shell) compare(s *step, real any, out []byte) {
	r.t.Helper()
	var shown any
	if err := json.Unmarshal([]byte(s.answer), &shown); err != nil {
		r.t.Fatalf("%s: %v", s.answer, err)
	}
	real = withoutWhatDiffers(shown, real)
	if *update {
		rewrite(r.t, integration, s.answer, indented(r.t, partOf(real, shown)))
		return
	}
	for _, difference := range missingFrom(real, shown, "") {
		r.t.Errorf("%s\n%s\n%s", s.commands, difference, out)
	}
	if object, ok := shown.(map[string]any); ok && len(object) == 0 {
		r.t.Errorf("%s shows nothing of its answer %s", s.commands, out)
	}
}

// withoutWhatDiffers is an answer with … wherever the document shows that.
func withoutWhatDiffers(shown, real any) any {
	switch shown := shown.(type) {
	case string:
		if shown == "…" {
			return shown
		}
	case map[string]any:
		object, ok := real.(map[string]any)
		if !ok {
			return real
		}
		for name := range shown {
			if value, there := object[name]; there {
				object[name] = withoutWhatDiffers(shown[name], value)
			}
		}
	case []any:
		list, ok := real.([]any)
		if !ok {
			return real
		}
		for i := range min(len(shown), len(list)) {
			list[i] = withoutWhatDiffers(shown[i], list[i])
		}
	}
	return real
}
