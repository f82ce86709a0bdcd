package main

import (
	"encoding/json"
	"strings"
	"testing"

	"commensal/internal/bench"
)

func TestBenchMeasuresEveryQuestionOnThisMachine(t *testing.T) {
	status, out, errs := run(t, nil, "bench", "--seconds", "0.1", "--connections", "2", "--json")
	var all []bench.Figures
	if err := json.Unmarshal([]byte(out), &all); err != nil || status != exitOK {
		t.Fatalf("%d %v %s %s", status, err, out, errs)
	}
	if len(all) != 7 {
		t.Errorf("%d of 7 questions", len(all))
	}
	for _, f := range all {
		if f.Bytes == 0 || f.PerSecond <= 0 || f.Bare <= 0 || f.Ratio <= 0 || f.P99MS < f.HalfMS || f.P99MS <= 0 {
			t.Errorf("%+v", f)
		}
	}
}

func TestBenchRefusesFlagsThatMeanNothing(t *testing.T) {
	for _, args := range [][]string{{"bench", "--seconds", "0"}, {"bench", "--seconds", "NaN"}, {"bench", "--connections", "0"}, {"bench", "--connections", "1000"}, {"bench", "here"}} {
		if status, _, errs := run(t, nil, args...); status != exitUsage || errs == "" {
			t.Errorf("%s: %d %s", strings.Join(args, " "), status, errs)
		}
	}
}
