package waterchem

import "testing"

// Weights as shops and hobbyists weigh them: common practice, no source.
func TestInvertebratesWeighWhatTheyAreSaidTo(t *testing.T) {
	for _, c := range []struct {
		form             BodyForm
		length, low, top float64 // cm, g
	}{
		{Shrimp, 2.5, 0.1, 0.3}, {Shrimp, 5, 1, 2}, {Crayfish, 12, 35, 70},
		{Crab, 4, 12, 30}, {Snail, 5, 3, 15}, {Snail, 2, 0.2, 1}, {Clam, 3, 0.5, 3},
	} {
		w := value[Estimate](t)(WeightFromForm(c.form, c.length))
		if w.Typical < c.low || w.Typical > c.top || !(w.Low < w.Typical && w.Typical < w.High) {
			t.Errorf("%s of %v cm: %v g, want %v to %v", c.form, c.length, w, c.low, c.top)
		}
	}
}
