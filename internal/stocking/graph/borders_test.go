package graph

import "testing"

func TestBoundsOfWhatIsSolved(t *testing.T) {
	for bins, sound := range map[int]bool{1024: true, 1025: false} {
		if got := Assign(1, bins, nil, nil, nil, AssignOptions{}); (got.Err == nil) != sound {
			t.Errorf("%d bins: %v", bins, got.Err)
		}
	}
	for weight, sound := range map[float64]bool{1e9: true, 1.001e9: false} {
		if _, err := toSteps(weight); (err == nil) != sound {
			t.Errorf("a weight of %v: %v", weight, err)
		}
	}
}
