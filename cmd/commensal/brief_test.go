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

// shown runs a command on a list on standard input.
func shown(t *testing.T, list string, args ...string) (status int, out, wrong string) {
	t.Helper()
	var o, e bytes.Buffer
	p := &Program{Stdout: &o, Stderr: &e, Stdin: strings.NewReader(list), Getenv: func(string) string { return "" }}
	return p.Run(t.Context(), args), o.String(), e.String()
}

// A file may say itself that it is to be answered in brief, as a request does. It is then as with the flag.
func TestAFileThatAsksForTheShortFormGetsIt(t *testing.T) {
	t.Parallel()
	for command, list := range map[string]string{
		"check":      `"residents":[{"species":"neon tetra","count":12}],"incoming":[{"species":"oscar"}]}`,
		"additions":  `"tank":{"volume_l":112},"residents":[{"species":"neon tetra","count":12}],"limit":3}`,
		"placements": `"incoming":[{"species":"oscar","ref":"R-1"}],"tanks":[{"label":"Harbour","tank":{"size":"180x60x60cm"}}]}`,
	} {
		plainStatus, plain, wrong := shown(t, "{"+list, command, "--brief", "-")
		if wrong != "" || !strings.Contains(plain, strings.Repeat("-", 40)) {
			t.Fatalf("%s --brief: %s%s", command, plain, wrong)
		}
		status, out, wrong := shown(t, `{"detail":"brief",`+list, command, "-")
		if status != plainStatus || out != plain || wrong != "" {
			t.Errorf("%s: status %d and %d:\n%s%s\nwith the flag:\n%s", command, status, plainStatus, out, wrong, plain)
		}
	}
	if status, _, wrong := shown(t, `{"detail":"brief","residents":[{"species":"oscar"}]}`, "groupings", "-"); status != exitUsage || !strings.Contains(wrong, "detail is not a field") {
		t.Errorf("groupings: status %d %s", status, wrong)
	}
}
