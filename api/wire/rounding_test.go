package wire

import (
	"math"
	"testing"

	"commensal/internal/conflict"

	"pgregory.net/rapid"
)

// TestRoundedSharesLaw draws shares and checks the sum, the distance and the zeros.
func TestRoundedSharesLaw(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var shares [conflict.NumFactors]float64
		sum := 0.0
		for i := range shares {
			if rapid.Bool().Draw(t, "present") {
				shares[i] = rapid.Float64Range(-10, 30).Draw(t, "share")
			}
			sum += shares[i]
		}
		if sum < 0 || sum > 100 {
			t.Skip("not a score")
		}
		total := 0
		for i, r := range RoundShares(shares, sum) {
			total += int(math.Round(r * 10))
			if math.Abs(r-shares[i]) > 0.1000001 {
				t.Fatalf("share %v became %v", shares[i], r)
			}
			if shares[i] == 0 && r != 0 {
				t.Fatalf("a factor without a share got %v", r)
			}
		}
		if want := int(math.Floor(sum * 10)); total != want {
			t.Fatalf("shares sum to %d tenths, score is %d", total, want)
		}
	})
}

func TestTenthsKeepTenthsAndNeverRoundUp(t *testing.T) {
	for k := range 1001 {
		if x := float64(k) / 10; Tenths(x) != x || TenthsUp(x) != x {
			t.Errorf("%v became %v and %v", x, Tenths(x), TenthsUp(x))
		}
	}
	for score, want := range map[float64]float64{24.99999: 24.9, 74.96: 74.9, 0.04: 0, 100: 100} {
		if Tenths(score) != want {
			t.Errorf("%v became %v, want %v", score, Tenths(score), want)
		}
	}
}
