package calibration

import (
	"testing"

	"commensal/internal/conflict"
)

// BenchmarkObjective is one look at all judged pairs: what a fit does some thousands of times.
func BenchmarkObjective(b *testing.B) {
	panel := realPanel(b, "dev", "dev2", "conditions")
	w := conflict.StartingWeights()
	for b.Loop() {
		panel.Objective(w)
	}
}
