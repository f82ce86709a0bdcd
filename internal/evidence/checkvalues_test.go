package evidence

import (
	"encoding/json"
	"math"
	"os"
	"testing"
)

// row is one published or derived check value.
type row struct {
	ID        string          `json:"id"`
	Inputs    json.RawMessage `json:"inputs"`
	Expected  json.RawMessage `json:"expected"`
	Tolerance float64         `json:"tolerance"`
	Source    string          `json:"source"`
}

// cases are the inputs of a row: one proportion or several.
type cases struct {
	X, N float64
	XN   [][2]float64 `json:"x_n"`
	Z    float64
}

func (c *cases) list() [][2]float64 {
	if c.XN == nil {
		return [][2]float64{{c.X, c.N}}
	}
	return c.XN
}

func readRows(t *testing.T) []row {
	t.Helper()
	data, err := os.ReadFile("../../testdata/check-values/evidence.json")
	if err != nil {
		t.Fatal(err)
	}
	var rows []row
	if err := json.Unmarshal(data, &rows); err != nil {
		t.Fatal(err)
	}
	return rows
}

// compute is what this package makes of each row's proportions, in one list.
var compute = map[string]func(x, n, z float64) []float64{
	"11.1": wilson, "11.2": wilson, "11.3": wilson, "11.4": wilson, "11.5": wilson,
	"11.6": func(x, n, _ float64) []float64 { return []float64{Jeffreys(x, n).Mean} },
	"11.7": func(x, n, _ float64) []float64 { b := Jeffreys(x, n); return []float64{b.Low, b.High} },
	"11.8": func(x, n, z float64) []float64 {
		low, _ := Wilson(x, n, z)
		_, high := Wilson(n-x, n, z)
		return []float64{low + high}
	},
}

func wilson(x, n, z float64) []float64 {
	low, high := Wilson(x, n, z)
	return []float64{low, high}
}

func TestPublishedValues(t *testing.T) {
	rows := readRows(t)
	if len(rows) != len(compute) {
		t.Errorf("%d rows, %d computed", len(rows), len(compute))
	}
	for _, r := range rows {
		t.Run(r.ID, func(t *testing.T) {
			var in cases
			if err := json.Unmarshal(r.Inputs, &in); err != nil {
				t.Fatal(err)
			}
			if in.Z == 0 {
				in.Z = Z95
			}
			want := flat(t, r.Expected)
			for i, c := range in.list() {
				got := compute[r.ID](c[0], c[1], in.Z)
				for k, x := range got {
					if w := want[(i*len(got)+k)%len(want)]; math.Abs(x-w) > r.Tolerance {
						t.Errorf("%v of %v (%s): got %v, want %v ± %v", c[0], c[1], r.Source, x, w, r.Tolerance)
					}
				}
			}
		})
	}
}

// flat is a number, or a list of numbers or of such lists, as one list.
func flat(t *testing.T, raw json.RawMessage) (list []float64) {
	t.Helper()
	var x float64
	if json.Unmarshal(raw, &x) == nil {
		return []float64{x}
	}
	var parts []json.RawMessage
	if err := json.Unmarshal(raw, &parts); err != nil {
		t.Fatal(err)
	}
	for _, p := range parts {
		list = append(list, flat(t, p)...)
	}
	return list
}
