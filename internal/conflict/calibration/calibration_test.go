package calibration

import (
	"math"
	"os"
	"strings"
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/species/catalogue/builtin"
)

func realPanel(t *testing.T) Panel {
	t.Helper()
	f, err := os.Open("../../../testdata/judgements.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	panel, err := Read(f, finder(t))
	if err != nil {
		t.Fatal(err)
	}
	return panel
}

func finder(t *testing.T) func(string) (*species.Species, error) {
	t.Helper()
	cat, err := builtin.Catalogue()
	if err != nil {
		t.Fatal(err)
	}
	snap, err := species.NewSnapshot(1, cat)
	if err != nil {
		t.Fatal(err)
	}
	return func(name string) (*species.Species, error) {
		m, err := snap.Resolve(name)
		return m.Species, err
	}
}

// Two raters agree on 20 and 15 of 50 and disagree on 5 and 10: κ = 0.4 (a textbook
// example of Cohen's kappa, from memory; with two categories quadratic weights change
// nothing).
func TestKappaOfATextbookTable(t *testing.T) {
	c := Confusion{{20, 5}, {10, 15}}
	if got := c.Kappa(); math.Abs(got-0.4) > 1e-12 {
		t.Errorf("kappa %v, want 0.4", got)
	}
}

func TestKappaAtItsEnds(t *testing.T) {
	for _, c := range []struct {
		name string
		in   Confusion
		want float64
	}{
		{"perfect agreement", Confusion{{3}, {0, 4}, {0, 0, 5}, {0, 0, 0, 6}}, 1},
		{"independent raters", Confusion{{4, 4}, {4, 4}}, 0},
		{"all in one cell, where it is not defined", Confusion{{9}}, 0},
		{"nothing", Confusion{}, 0},
	} {
		if got := c.in.Kappa(); math.Abs(got-c.want) > 1e-12 {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
	far, near := Confusion{{5, 0, 0, 1}, {0, 5}, {0, 0, 5}, {0, 0, 0, 5}}, Confusion{{5, 1}, {0, 5}, {0, 0, 5}, {0, 0, 0, 5}}
	if far.Kappa() >= near.Kappa() {
		t.Errorf("a miss by three levels (%v) weighs no more than one by one (%v)", far.Kappa(), near.Kappa())
	}
}

func TestReadRefusesWhatItCannotJudge(t *testing.T) {
	head := strings.Join(columns, ",") + "\n"
	for _, c := range []struct{ name, in, want string }{
		{"another header", "a,b\n", "header"},
		{"nothing", "", "header"},
		{"an unknown species", head + "X1,Nemo nemo,Danio rerio,low,low,low,none,none,low\n", "X1"},
		{"an unknown level", head + "X2,Danio rerio,Danio rerio,fine,low,low,none,none,low\n", `"fine"`},
		{"an unknown water level", head + "X3,Danio rerio,Danio rerio,low,low,low,none,none,wet\n", `"wet"`},
	} {
		_, err := Read(strings.NewReader(c.in), finder(t))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want an error about %s", c.name, err, c.want)
		}
	}
}

func TestTheEmbeddedWeightsFitThePanel(t *testing.T) {
	panel := realPanel(t)
	w, err := conflict.EmbeddedWeights()
	if err != nil {
		t.Fatal(err)
	}
	if got, start := panel.Objective(w), panel.Objective(conflict.StartingWeights()); got >= start {
		t.Errorf("the embedded weights (%.3f) are no better than the starting ones (%.3f)", got, start)
	}
	scores, err := panel.Scores(w)
	if err != nil {
		t.Fatal(err)
	}
	c := panel.Confusion(scores)
	if c.Kappa() < 0.85 || c.SevereAsLow() > 0 {
		t.Errorf("kappa %.3f, severe pairs called low %d", c.Kappa(), c.SevereAsLow())
	}
}

func TestFitIsDeterministicAndImproves(t *testing.T) {
	panel := realPanel(t)[:24]
	start := conflict.StartingWeights()
	first, second := Fit(panel, start), Fit(panel, start)
	if first != second {
		t.Error("two fits of one panel differ")
	}
	if panel.Objective(first) > panel.Objective(start) {
		t.Error("the fit is worse than its start")
	}
	if err := first.Validate(); err != nil {
		t.Error(err)
	}
}

func TestHeldOutPairsAreScoredByWeightsThatHaveNotSeenThem(t *testing.T) {
	panel := realPanel(t)[:2*Folds]
	start := conflict.StartingWeights()
	held, err := CrossValidate(panel, start)
	if err != nil {
		t.Fatal(err)
	}
	var train, test Panel
	for i, j := range panel {
		if i%Folds == 3 {
			test = append(test, j)
		} else {
			train = append(train, j)
		}
	}
	want, err := test.Scores(Fit(train, start))
	if err != nil {
		t.Fatal(err)
	}
	for k, score := range want {
		if got := held.Scores[3+k*Folds]; got != score {
			t.Errorf("pair %d: %v, want %v", 3+k*Folds, got, score)
		}
	}
	var report strings.Builder
	if err := Report(&report, panel, start, held); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"kappa", "held out", "trade memory"} {
		if !strings.Contains(report.String(), want) {
			t.Errorf("the report does not say %q", want)
		}
	}
}
