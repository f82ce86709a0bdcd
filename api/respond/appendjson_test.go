package respond_test

import (
	"encoding/json"
	"math"
	"testing"

	"commensal/api/respond"

	"pgregory.net/rapid"
)

func TestAppendedTextsAndNumbersAreThoseOfTheLibrary(t *testing.T) {
	same := func(t interface{ Errorf(string, ...any) }, got []byte, value any) {
		want, err := json.Marshal(value)
		if err != nil || string(got) != string(want) {
			t.Errorf("got %s, want %s, %v", got, want, err)
		}
	}
	for _, x := range []float64{0, math.Copysign(0, -1), 1, -1, 0.1, 0.005, 999.999, 0.0005, 1e-6, 9e-7, 1e15, 1e12 + 0.5, 1e20, 1e21, -1e21, math.MaxFloat64, math.SmallestNonzeroFloat64, 1.0 / 3, 100.10000000000001} {
		same(t, respond.AppendNumber(nil, x), x)
	}
	for _, s := range []string{"", "plain", "a \"quote\"", `\`, "<b>&", "20 °C – 60 × 30", "\u2028", "\u2029x", "\xff", "\xe2\x80", "tab\t", "\x7f", "鱼"} {
		same(t, respond.AppendText(nil, s), s)
	}
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64().Filter(func(x float64) bool { return !math.IsInf(x, 0) && !math.IsNaN(x) }).Draw(t, "x")
		same(t, respond.AppendNumber(nil, x), x)
		x = float64(rapid.Int64Range(-1e9, 1e9).Draw(t, "n")) / rapid.SampledFrom([]float64{1, 10, 100, 1000, 10000}).Draw(t, "by")
		same(t, respond.AppendNumber(nil, x), x)
		s := rapid.String().Draw(t, "s")
		same(t, respond.AppendText(nil, s), s)
	})
}
