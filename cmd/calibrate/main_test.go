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

// What a fit says of pairs, of pairs it has not seen and of traits is written where it is
// asked for; weights that are read are not fitted.
func TestWhatHelpsToLookFurtherIsWritten(t *testing.T) {
	o := few(t)
	dir := t.TempDir()
	o.weights = "../../internal/conflict/weights.json"
	o.test, o.pairs, o.leanings = o.panels, filepath.Join(dir, "pairs.csv"), filepath.Join(dir, "leanings.csv")
	o.out, o.version = filepath.Join(dir, "weights.json"), "unwanted"
	var report bytes.Buffer
	if err := run(o, &report); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"pairs that the fit has not seen", "whole catalogue                3", "leanings: kappa of pairs not seen"} {
		if !strings.Contains(report.String(), want) {
			t.Errorf("the report lacks %q:\n%s", want, report.String())
		}
	}
	pairs, err := os.ReadFile(o.pairs)
	if err != nil || strings.Count(string(pairs), "\n") != 4 || !strings.Contains(string(pairs), "B,Astronotus ocellatus,Paracheirodon innesi,severe") {
		t.Errorf("%v: %s", err, pairs)
	}
	leanings, err := os.ReadFile(o.leanings)
	if err != nil || !strings.HasPrefix(string(leanings), "species,form,property,from,to,gain,pairs\n") {
		t.Errorf("%v: %s", err, leanings)
	}
	if _, err := os.Stat(o.out); !os.IsNotExist(err) {
		t.Errorf("weights that were only read were written again: %v", err)
	}
}

func TestWeightsThatAreNotThereAreAnError(t *testing.T) {
	o := few(t)
	o.weights = "no such file.json"
	if err := run(o, &bytes.Buffer{}); err == nil {
		t.Error("weights that are not there are no error")
	}
}
