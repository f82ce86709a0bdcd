package main

import (
	"bytes"
	"path/filepath"
	"strings"
	"testing"
)

const panel = "../../testdata/judgements.csv"

func TestAFitCanBeLookedAtWithoutANameAndWithoutWritingIt(t *testing.T) {
	var report bytes.Buffer
	if err := run(panel, "", "", &report); err != nil || !strings.Contains(report.String(), "held out") {
		t.Errorf("%v: %.300s", err, report.String())
	}
}

func TestAFitIsNotWrittenWithoutAName(t *testing.T) {
	out := filepath.Join(t.TempDir(), "weights.json")
	if err := run(panel, out, "", &bytes.Buffer{}); err == nil || !strings.Contains(err.Error(), "-version") {
		t.Errorf("%v", err)
	}
	if err := run("no such file.csv", "", "", &bytes.Buffer{}); err == nil {
		t.Error("a panel that is not there is no error")
	}
}
