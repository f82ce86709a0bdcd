package wire

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"commensal/internal/conflict"
)

// Tenths rounds a score down to one decimal, so that it never reads as the next level.
func Tenths(score float64) float64 { return math.Floor(score*10) / 10 }

// TenthsUp rounds up, for the high end of a band.
func TenthsUp(score float64) float64 { return math.Ceil(score*10) / 10 }

// powers are the scales of rounding to 0, 1, 2 and 3 decimals.
var powers = [...]float64{1, 10, 100, 1000}

// Decimals rounds to n decimals, at most three. Minus zero becomes zero.
func Decimals(x float64, n int) float64 { return math.Round(x*powers[n])/powers[n] + 0 }

// RoundShares rounds the shares to tenths that sum exactly to the rounded score: each
// is rounded down, and the tenths that are left go to those that lost most (the method
// of the largest remainder, Hamilton 1792).
func RoundShares(shares [conflict.NumFactors]float64, score float64) [conflict.NumFactors]float64 {
	var tenths [conflict.NumFactors]int
	var order [conflict.NumFactors]int
	left := int(math.Floor(score * 10))
	remainder := func(i int) float64 { return shares[i]*10 - math.Floor(shares[i]*10) }
	for i, s := range shares {
		tenths[i] = int(math.Floor(s * 10))
		left -= tenths[i]
		order[i] = i
	}
	slices.SortStableFunc(order[:], func(a, b int) int { return cmp.Compare(remainder(b), remainder(a)) })
	for k := 0; left > 0; k++ {
		tenths[order[k%len(order)]]++
		left--
	}
	for k := 1; left < 0; k++ { // only by an error in the last binary digit of the sum
		tenths[order[len(order)-k%len(order)]]--
		left++
	}
	var out [conflict.NumFactors]float64
	for i, t := range tenths {
		out[i] = float64(t) / 10
	}
	return out
}

// Plain writes a number with the digits it has and no exponent.
func Plain(x float64) string { return strconv.FormatFloat(x, 'f', -1, 64) }
