package units_test

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"commensal/internal/units"
)

// checkRow is one row of the published check values.
type checkRow struct {
	ID        string
	Inputs    map[string]json.RawMessage
	Expected  json.RawMessage
	Tolerance float64
	Source    string
	Basis     string
}

func checkRows(t *testing.T) map[string]checkRow {
	t.Helper()
	raw, err := os.ReadFile("../../testdata/check-values/units.json")
	if err != nil {
		t.Fatal(err)
	}
	var rows []checkRow
	if err := json.Unmarshal(raw, &rows); err != nil {
		t.Fatal(err)
	}
	byID := map[string]checkRow{}
	for _, r := range rows {
		byID[r.ID] = r
	}
	return byID
}

func input[T any](t *testing.T, r checkRow, name string) T {
	t.Helper()
	return decode[T](t, r.ID, r.Inputs[name])
}

func decode[T any](t *testing.T, id string, raw json.RawMessage) T {
	t.Helper()
	var v T
	if err := json.Unmarshal(raw, &v); err != nil {
		t.Fatalf("row %s: %v", id, err)
	}
	return v
}

// expected reads one number or a list of them.
func expected(t *testing.T, r checkRow) []float64 {
	t.Helper()
	if r.Expected[0] == '[' {
		return decode[[]float64](t, r.ID, r.Expected)
	}
	return []float64{decode[float64](t, r.ID, r.Expected)}
}

// checkComputations maps each row to what this package computes for its inputs.
var checkComputations = map[string]func(*testing.T, checkRow) []float64{
	"1.1": func(t *testing.T, r checkRow) []float64 {
		return []float64{input[float64](t, r, "gal_US") * units.LitresPerUSGallon}
	},
	"1.2": func(t *testing.T, r checkRow) []float64 {
		return []float64{input[float64](t, r, "gal_UK") * units.LitresPerUKGallon}
	},
	"1.3": func(t *testing.T, r checkRow) []float64 {
		return []float64{input[float64](t, r, "gal_US") * units.LitresPerUSGallon / units.LitresPerUKGallon}
	},
	"1.4": func(t *testing.T, r checkRow) []float64 {
		return each(input[[]float64](t, r, "degF"), units.FahrenheitToCelsius)
	},
	"1.5": func(t *testing.T, r checkRow) []float64 {
		ppm := units.DHToPPM(input[float64](t, r, "degree_dH"))
		return []float64{ppm, ppm / units.MgCaCO3PerMmol, ppm / units.MgCaCO3PerFH}
	},
	"1.6": func(t *testing.T, r checkRow) []float64 {
		ppm := input[float64](t, r, "degree_fH") * units.MgCaCO3PerFH
		return []float64{ppm, units.PPMToDH(ppm)}
	},
	"1.7": func(t *testing.T, r checkRow) []float64 {
		return []float64{units.PPMToDH(input[float64](t, r, "mg_per_L_CaCO3"))}
	},
	"1.8": func(t *testing.T, r checkRow) []float64 {
		return each(input[[][2]float64](t, r, "S_t"), func(st [2]float64) float64 {
			return units.SeawaterDensity(st[0], st[1])
		})
	},
	"1.9": func(t *testing.T, r checkRow) []float64 {
		return each(input[[]float64](t, r, "S"), units.SpecificGravity)
	},
	"1.10": func(t *testing.T, r checkRow) []float64 {
		return each(input[[]float64](t, r, "SG"), units.SalinityFromSpecificGravity)
	},
	"1.11": func(t *testing.T, r checkRow) []float64 {
		return each(input[[][3]float64](t, r, "LWH_in"), func(in [3]float64) float64 {
			tank := units.TankSize{
				Length: in[0] * units.CMPerInch, Width: in[1] * units.CMPerInch, Height: in[2] * units.CMPerInch,
			}
			return tank.Volume() / units.LitresPerUSGallon
		})
	},
	"1.12": func(t *testing.T, r checkRow) []float64 {
		return each(input[[]string](t, r, "LWH"), func(s string) float64 {
			tank, err := units.ParseTank(s, units.None)
			if err != nil {
				t.Fatal(err)
			}
			return tank.Volume()
		})
	},
}

func each[T any](in []T, f func(T) float64) []float64 {
	var out []float64
	for _, x := range in {
		out = append(out, f(x))
	}
	return out
}

func TestPublishedCheckValues(t *testing.T) {
	rows := checkRows(t)
	if len(rows) != len(checkComputations) {
		t.Errorf("%d rows on file, %d computed here", len(rows), len(checkComputations))
	}
	for id, compute := range checkComputations {
		t.Run(id, func(t *testing.T) {
			row, ok := rows[id]
			if !ok {
				t.Fatalf("row %s is not on file", id)
			}
			want, got := expected(t, row), compute(t, row)
			if len(want) != len(got) {
				t.Fatalf("got %d values, want %d", len(got), len(want))
			}
			for i := range want {
				if !(math.Abs(got[i]-want[i]) <= row.Tolerance) {
					t.Errorf("value %d: got %.9g, want %.9g ± %g (%s)", i, got[i], want[i], row.Tolerance, row.Source)
				}
			}
		})
	}
}
