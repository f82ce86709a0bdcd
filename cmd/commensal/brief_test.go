package main

import (
	"bytes"
	"strings"
	"testing"
)

func TestACheckInBriefSaysWhatTheWholeOneSays(t *testing.T) {
	t.Parallel()
	run := func(args ...string) (int, string) {
		var out, wrong bytes.Buffer
		p := &Program{Stdout: &out, Stderr: &wrong, Stdin: strings.NewReader("neon tetra,12\noscar,1\n"), Getenv: func(string) string { return "" }}
		status := p.Run(t.Context(), append([]string{"check", "-"}, args...))
		if wrong.Len() > 0 {
			t.Errorf("%v: %s", args, wrong.String())
		}
		return status, out.String()
	}
	whole, _ := run()
	brief, text := run("--brief")
	if whole != brief || !strings.HasPrefix(text, "HOLD\n") || !strings.Contains(text, "STOP ") || strings.Count(text, "\n") > 25 {
		t.Errorf("status %d, in brief %d:\n%s", whole, brief, text)
	}
	if _, text := run("--brief", "--json"); !strings.Contains(text, `"reasons":[{"code":`) {
		t.Errorf("%s", text)
	}
}
