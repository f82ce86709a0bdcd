package main

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"

	"commensal/api/gen"
)

// batched runs commensal batch on lists from standard input.
func batched(t *testing.T, lists string, args ...string) (status int, answers []gen.BatchLine, errs string) {
	t.Helper()
	var stdout, stderr bytes.Buffer
	p := Program{Stdout: &stdout, Stderr: &stderr, Stdin: strings.NewReader(lists), Getenv: func(string) string { return "" }}
	status = p.Run(t.Context(), append([]string{"batch", "-"}, args...))
	for line := range strings.Lines(stdout.String()) {
		var l gen.BatchLine
		if err := json.Unmarshal([]byte(line), &l); err != nil {
			t.Fatalf("%v: %s", err, line)
		}
		answers = append(answers, l)
	}
	return status, answers, stderr.String()
}

func TestABatchIsAnsweredLineByLineAndFaultsNameTheLine(t *testing.T) {
	status, got, errs := batched(t, `{"residents":[{"species":"neon tetra","count":12}]}`+"\n\n"+`{"residents":[{"species":"oscarr"}]}`+"\nxx\n"+`{"residents":[{"species":"guppy","sex":"boy"}]}`, "--brief")
	if status != exitUsage || len(got) != 4 {
		t.Fatalf("%d, %d answers, %s", status, len(got), errs)
	}
	for i, want := range []struct{ line, status int }{{1, 200}, {3, 422}, {4, 400}, {5, 400}} {
		if got[i].Line != want.line || got[i].Status != want.status {
			t.Errorf("%+v, want %+v", got[i], want)
		}
	}
	if !strings.Contains(string(*got[0].Answer), `"reasons"`) {
		t.Errorf("not in brief: %s", *got[0].Answer)
	}
	for _, words := range []string{`standard input:3: /residents/0/species: No species is called "oscarr".`, "near it: astronotus-ocellatus", "standard input:4: ", `standard input:5: /residents/0/sex is "boy"`, "write one of male, female"} {
		if !strings.Contains(errs, words) {
			t.Errorf("it does not say %q: %s", words, errs)
		}
	}
	if strings.Contains(errs, "\x1b") || strings.Contains(errs, " lines") {
		t.Errorf("progress in a pipe: %q", errs)
	}
}

func TestABatchMayBeLongerThanTheServiceTakesAtOnce(t *testing.T) {
	const list = `{"residents":[{"species":"guppy"}],"detail":"brief"}` + "\n"
	status, got, errs := batched(t, strings.Repeat(list, listsAtOnce)+strings.Repeat("\n", listsAtOnce)+list)
	if status != exitOK || errs != "" || len(got) != listsAtOnce+1 || got[listsAtOnce].Line != 2*listsAtOnce+1 {
		t.Errorf("%d, %d answers, %s", status, len(got), errs)
	}
	for _, none := range []string{"", "\n \n"} {
		if status, got, errs := batched(t, none); status != exitUsage || len(got) > 0 || !strings.Contains(errs, "no line") {
			t.Errorf("%q: %d %v %q", none, status, got, errs)
		}
	}
}
