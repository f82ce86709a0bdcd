package conflict

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"commensal/internal/species"
)

// row is one published or derived check value.
type row struct {
	ID        string          `json:"id"`
	Inputs    json.RawMessage `json:"inputs"`
	Expected  json.RawMessage `json:"expected"`
	Tolerance float64         `json:"tolerance"`
	Source    string          `json:"source"`
}

func checkRows(t *testing.T) map[string]row {
	t.Helper()
	data, err := os.ReadFile("../../testdata/check-values/conflict.json")
	if err != nil {
		t.Fatal(err)
	}
	var rows []row
	if err := json.Unmarshal(data, &rows); err != nil {
		t.Fatal(err)
	}
	out := map[string]row{}
	for _, r := range rows {
		out[r.ID] = r
	}
	return out
}

func (r row) read(t *testing.T, inputs, expected any) {
	t.Helper()
	if err := json.Unmarshal(r.Inputs, inputs); err != nil {
		t.Fatalf("row %s inputs: %v", r.ID, err)
	}
	if err := json.Unmarshal(r.Expected, expected); err != nil {
		t.Fatalf("row %s expected: %v", r.ID, err)
	}
}

func (r row) near(t *testing.T, got, want float64) {
	t.Helper()
	if math.Abs(got-want) > max(r.Tolerance, 1e-12) {
		t.Errorf("row %s (%s): got %v, want %v ± %v", r.ID, r.Source, got, want, r.Tolerance)
	}
}

// combined is how the model combines risks: through summed hazards.
func combined(p ...float64) float64 {
	h := 0.0
	for _, r := range p {
		h += -math.Log1p(-r)
	}
	return risk(h)
}

func TestHazardsCombineAsNoisyOr(t *testing.T) {
	rows := checkRows(t)
	var fever struct {
		P []float64 `json:"p_cold_flu_malaria"`
	}
	var want []float64
	rows["10.1"].read(t, &fever, &want)
	c, f, m := fever.P[0], fever.P[1], fever.P[2]
	for i, got := range []float64{c, f, m, combined(f, m), combined(c, m), combined(c, f), combined(c, f, m)} {
		rows["10.1"].near(t, got, want[i])
	}
	var single float64
	var three struct {
		P []float64 `json:"p"`
	}
	rows["10.4"].read(t, &three, &single)
	rows["10.4"].near(t, combined(three.P...), single)
	var poison struct{ EA, EB float64 }
	rows["10.3"].read(t, &poison, &single)
	rows["10.3"].near(t, combined(poison.EA, poison.EB), single)
	rows["10.9"].read(t, new(any), &single)
	twenty := make([]float64, 20)
	for i := range twenty {
		twenty[i] = 0.05
	}
	rows["10.9"].near(t, combined(twenty...), single)
}

func TestZoneOverlapIsSchoeners(t *testing.T) {
	rows := checkRows(t)
	for _, id := range []string{"8.4", "8.5"} {
		var in struct{ P, Q [species.NumZones]float64 }
		var want []float64
		rows[id].read(t, &in, &want)
		rows[id].near(t, Schoener(in.P, in.Q), want[0])
		rows[id].near(t, Schoener(in.Q, in.P), want[0])
	}
	if got := Schoener([3]float64{1, 0, 0}, [3]float64{0, 1, 0}); got != 0 {
		t.Errorf("disjoint use overlaps %v", got)
	}
	if got := Schoener([3]float64{0.2, 0.8, 0}, [3]float64{0.2, 0.8, 0}); got != 1 {
		t.Errorf("identical use overlaps %v", got)
	}
}

// The worth of a coalition in the glove game: players 0 and 1 hold a left glove,
// player 2 a right one, and a pair is worth 1. The Shapley value is (1/6, 1/6, 4/6)
// (textbook example; the others are dummies and get 0).
func TestShapleyValuesOfTheGloveGame(t *testing.T) {
	var worth [1 << NumFactors]float64
	for set := range worth {
		if set&0b011 != 0 && set&0b100 != 0 {
			worth[set] = 1
		}
	}
	want := [NumFactors]float64{1.0 / 6, 1.0 / 6, 4.0 / 6}
	for f, got := range shapleyOf(&worth) {
		if math.Abs(got-want[f]) > 1e-12 {
			t.Errorf("player %d gets %v, want %v", f, got, want[f])
		}
	}
}

// The airport game (Littlechild & Owen 1973, Manage. Sci. 20:370-372): a coalition
// needs the runway of its largest aircraft. Each part of the runway is shared equally by
// those who need it.
func TestShapleyValuesOfTheAirportGame(t *testing.T) {
	cost := [NumFactors]float64{8, 11, 13, 18, 18, 18, 18}
	var worth [1 << NumFactors]float64
	for set := range worth {
		for f, c := range cost {
			if set&(1<<f) != 0 {
				worth[set] = max(worth[set], c)
			}
		}
	}
	a := 8.0 / 7
	b := a + 3.0/6
	c := b + 2.0/5
	d := c + 5.0/4
	want := [NumFactors]float64{a, b, c, d, d, d, d}
	for f, got := range shapleyOf(&worth) {
		if math.Abs(got-want[f]) > 1e-9 {
			t.Errorf("aircraft %d pays %v, want %v", f, got, want[f])
		}
	}
}

// Published ratio ranges assert order, not one cut-off: within the field maxima prey
// is at risk, above every observed ratio much less. The curve is flatter than a stomach's
// content: keepers judge years together, not a meal.
func TestPredationFollowsThePublishedRatioBands(t *testing.T) {
	rows := checkRows(t)
	var in struct {
		Predator float64   `json:"predator_mm"`
		Prey     []float64 `json:"prey_mm"`
	}
	rows["9.10"].read(t, &in, new(any))
	m := testModel(t)
	hunter := &actor{mouth: mouth{lnPrey: math.Log(0.46 * in.Predator), lnGape: math.Log(0.27 * in.Predator), appetite: 1}}
	m.limit(hunter, limits{})
	last := math.Inf(1)
	for i, mm := range in.Prey {
		prey := &victim{morsel: morsel{lnLength: math.Log(mm), lnDepth: math.Log(0.22 * mm), swallowed: 1, caught: 1}}
		m.size(prey)
		r := risk(m.swallowHazard(hunter, prey))
		if r > last {
			t.Errorf("prey of %v mm is more at risk than smaller prey", mm)
		}
		if i < 2 && r < 0.85 {
			t.Errorf("prey of %v mm (typical to field maximum, Gaeta et al. 2018) has a risk of only %v", mm, r)
		}
		if mm >= 90 && r > 0.4 {
			t.Errorf("prey of %v mm (not reported by any source) has a risk of %v", mm, r)
		}
		last = r
	}
}

func TestCompromiseIsTheLeastStressForTheTwoTogether(t *testing.T) {
	m := testModel(t)
	fish := func(low, high float64) accepts {
		sp := &species.Species{}
		sp.Water[species.Temperature] = species.WaterRange{Tolerated: species.Range{Low: low - 2, High: high + 2}, Preferred: species.Range{Low: low, High: high}, Basis: species.Memory}
		return m.acceptsAt(sp, species.Temperature, typical)
	}
	a := fish(18, 24)
	for _, low := range []float64{21, 23, 25, 27, 32} {
		b := fish(low, low+6)
		x, got := compromise(&a, &b)
		best := math.Inf(1)
		for y := 15.0; y < 40; y += 0.001 {
			best = min(best, a.stress(y)+b.stress(y))
		}
		if math.Abs(got-best) > 1e-4 || math.Abs(a.stress(x)+b.stress(x)-got) > 1e-9 {
			t.Errorf("range from %v: compromise %v stresses %v, a fine search finds %v", low, x, got, best)
		}
	}
}
