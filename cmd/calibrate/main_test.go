package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"commensal/internal/conflict"
)

// few is a panel of a handful of pairs, so that a fit takes no time.
func few(t *testing.T) options {
	t.Helper()
	path := filepath.Join(t.TempDir(), "few.csv")
	rows := "id,species_a,species_b,level,level_low,level_high,main_reason,who_harms_whom,water_level\n" +
		"A,Danio rerio,Paracheirodon innesi,low,low,low,none,none,low\n" +
		"B,Astronotus ocellatus,Paracheirodon innesi,severe,severe,severe,predation,a>b,low\n" +
		"C,Puntigrus tetrazona,Pterophyllum scalare,high,high,high,fin_nipping,a>b,low\n"
	if err := os.WriteFile(path, []byte(rows), 0o600); err != nil {
		t.Fatal(err)
	}
	return options{panels: path, popular: "../../testdata/species-required.txt"}
}

func TestAFitCanBeLookedAtWithoutANameAndWithoutWritingIt(t *testing.T) {
	var report bytes.Buffer
	if err := run(few(t), &report); err != nil || !strings.Contains(report.String(), "held out") {
		t.Errorf("%v: %.300s", err, report.String())
	}
}

func TestAFitIsWrittenUnderItsName(t *testing.T) {
	o := few(t)
	o.quick, o.out, o.version = true, filepath.Join(t.TempDir(), "weights.json"), "here"
	if err := run(o, &bytes.Buffer{}); err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(o.out)
	if err != nil {
		t.Fatal(err)
	}
	var w conflict.Weights
	if err := json.Unmarshal(data, &w); err != nil || w.Validate() != nil || w.Version != "here" {
		t.Errorf("%v, %v: %s", err, w.Validate(), data)
	}
}

func TestAFitIsNotWrittenWithoutAName(t *testing.T) {
	o := few(t)
	o.out = filepath.Join(t.TempDir(), "weights.json")
	if err := run(o, &bytes.Buffer{}); err == nil || !strings.Contains(err.Error(), "-version") {
		t.Errorf("%v", err)
	}
	if err := run(options{panels: "no such file.csv"}, &bytes.Buffer{}); err == nil {
		t.Error("a panel that is not there is no error")
	}
}
