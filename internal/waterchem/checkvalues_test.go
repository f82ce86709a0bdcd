package waterchem

import (
	"encoding/json"
	"math"
	"os"
	"strings"
	"testing"
)

// row is one published or derived check value, as copied from the shared table.
type row struct {
	ID        string
	Quantity  string
	Inputs    map[string]json.RawMessage
	Expected  json.RawMessage
	Tolerance float64
	Source    string
	Basis     string
}

// check ties a row to the code it checks. Source is a part of the row's source, so
// that the reader sees here where the number comes from.
type check struct {
	id, source string
	run        func(t *testing.T, r row, all map[string]row)
}

func loadRows(t *testing.T) map[string]row {
	t.Helper()
	text, err := os.ReadFile("../../testdata/check-values/waterchem.json")
	if err != nil {
		t.Fatal(err)
	}
	var rows []row
	if err := json.Unmarshal(text, &rows); err != nil {
		t.Fatal(err)
	}
	byID := make(map[string]row, len(rows))
	for _, r := range rows {
		byID[r.ID] = r
	}
	if len(byID) != len(rows) || len(rows) == 0 {
		t.Fatalf("%d rows with %d different ids", len(rows), len(byID))
	}
	return byID
}

func TestPublishedCheckValues(t *testing.T) {
	rows := loadRows(t)
	checked := map[string]bool{}
	for _, group := range [][]check{
		oxygenChecks, ammoniaChecks, nitrogenChecks, lengthWeightChecks, growthChecks,
		metabolismChecks, massChecks,
	} {
		for _, c := range group {
			r, ok := rows[c.id]
			if !ok || checked[c.id] {
				t.Fatalf("row %s is missing or checked twice", c.id)
			}
			checked[c.id] = true
			t.Run(c.id+" "+r.Quantity, func(t *testing.T) {
				if !strings.Contains(r.Source, c.source) {
					t.Errorf("the row's source is %q, the check names %q", r.Source, c.source)
				}
				c.run(t, r, rows)
			})
		}
	}
	for id := range rows {
		if !checked[id] {
			t.Errorf("row %s has no check", id)
		}
	}
}

// near compares values with the row's expected ones, flattened, element by element.
func (r row) near(t *testing.T, got ...float64) {
	t.Helper()
	want := r.expected(t)
	if len(got) != len(want) {
		t.Fatalf("%d values, want %d", len(got), len(want))
	}
	for i := range got {
		if !(math.Abs(got[i]-want[i]) <= r.Tolerance) {
			t.Errorf("value %d: got %.8g, want %.8g ± %g", i, got[i], want[i], r.Tolerance)
		}
	}
}

func (r row) expected(t *testing.T) []float64 {
	t.Helper()
	return flatten(t, r.Expected)
}

// num is the input as one number, nums as a flat list of numbers.
func (r row) num(t *testing.T, key string) float64 {
	t.Helper()
	values := r.nums(t, key)
	if len(values) != 1 {
		t.Fatalf("input %q has %d values, want 1", key, len(values))
	}
	return values[0]
}

func (r row) nums(t *testing.T, key string) []float64 {
	t.Helper()
	raw, ok := r.Inputs[key]
	if !ok {
		t.Fatalf("row %s has no input %q", r.ID, key)
	}
	return flatten(t, raw)
}

// decode reads an input of any shape.
func (r row) decode(t *testing.T, key string, into any) {
	t.Helper()
	if err := json.Unmarshal(r.Inputs[key], into); err != nil {
		t.Fatalf("row %s, input %q: %v", r.ID, key, err)
	}
}

func flatten(t *testing.T, raw json.RawMessage) []float64 {
	t.Helper()
	var one float64
	if json.Unmarshal(raw, &one) == nil {
		return []float64{one}
	}
	var many []json.RawMessage
	if err := json.Unmarshal(raw, &many); err != nil {
		t.Fatalf("neither a number nor a list: %s", raw)
	}
	var flat []float64
	for _, m := range many {
		flat = append(flat, flatten(t, m)...)
	}
	return flat
}

// tester is what *testing.T and *rapid.T have in common.
type tester interface {
	Helper()
	Fatalf(format string, args ...any)
}

// value unwraps a result and fails the test on an error.
func value[T any](t tester) func(v T, err error) T {
	return func(v T, err error) T {
		t.Helper()
		if err != nil {
			t.Fatalf("unexpected error: %v", err)
		}
		return v
	}
}

// each applies f to every element.
func each(xs []float64, f func(float64) float64) []float64 {
	ys := make([]float64, len(xs))
	for i, x := range xs {
		ys[i] = f(x)
	}
	return ys
}

// centimetres converts inches.
func centimetres(inches float64) float64 { return 2.54 * inches }
