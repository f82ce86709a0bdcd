package verify

import (
	"math"
	"slices"
)

// madToSD makes the median of absolute deviations an estimate of the standard
// deviation where values are normally distributed: 1/Φ⁻¹(3/4).
const madToSD = 1.4826

// centre is the median of a list that is not empty, and its spread the scaled median
// of absolute deviations from it. Up to half of the list may be wrong without moving
// either far (Leys et al. 2013, J. Exp. Soc. Psychol. 49:764-766).
func centre(list []float64) (median, spread float64) {
	median = medianOf(list)
	apart := make([]float64, len(list))
	for i, x := range list {
		apart[i] = math.Abs(x - median)
	}
	return median, madToSD * medianOf(apart)
}

func medianOf(list []float64) float64 {
	sorted := slices.Sorted(slices.Values(list))
	n := len(sorted)
	return (sorted[(n-1)/2] + sorted[n/2]) / 2
}
