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

func realPanel(t testing.TB, files ...string) (panel Panel) {
	t.Helper()
	find := finder(t)
	for _, name := range files {
		f, err := os.Open("../../../testdata/judgements-" + name + ".csv")
		if err != nil {
			t.Fatal(err)
		}
		part, err := Read(f, find)
		f.Close()
		if err != nil {
			t.Fatal(err)
		}
		panel = append(panel, part...)
	}
	return panel
}

func finder(t testing.TB) func(string) (*species.Species, error) {
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
	head := "id,species_a,species_b,level,level_low,level_high,main_reason,who_harms_whom,water_level\n"
	for _, c := range []struct{ name, in, want string }{
		{"another header", "a,b\n", "header"},
		{"nothing", "", "header"},
		{"an unknown species", head + "X1,Nemo nemo,Danio rerio,low,low,low,none,none,low\n", "X1"},
		{"an unknown level", head + "X2,Danio rerio,Danio rerio,fine,low,low,none,none,low\n", `"fine"`},
		{"an unknown water level", head + "X3,Danio rerio,Danio rerio,low,low,low,none,none,wet\n", `"wet"`},
		{"an unknown reason", head + "X4,Danio rerio,Danio rerio,low,low,low,luck,none,low\n", `"luck"`},
		{"an unknown direction", head + "X5,Danio rerio,Danio rerio,low,low,low,none,up,low\n", `"up"`},
	} {
		_, err := Read(strings.NewReader(c.in), finder(t))
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v, want an error about %s", c.name, err, c.want)
		}
	}
}

func TestReadReadsFormsTanksAndFish(t *testing.T) {
	in := "id,species_a,form_a,species_b,form_b,tank,cover,temperature_c,first_count,second_count,first_sex,second_sex,first_length_cm,second_length_cm,level,level_low,level_high,ordinary_low,ordinary_high,main_reason\n" +
		"V1,Carassius auratus,telescope,Betta splendens,,80x35x40cm,0.6,24,2,,male,,8.4,,high,moderate,high,low,moderate,water\n" +
		"V2,Betta splendens,,Betta splendens,,,,,,3,,,,,high,high,high,low,low,conspecific\n"
	panel, err := Read(strings.NewReader(in), finder(t))
	if err != nil {
		t.Fatal(err)
	}
	first, own := panel[0], panel[1]
	if first.A.Form != "telescope" || first.Tank.LengthCM != 80 || first.Tank.HeightCM != 40 || first.Tank.Cover != 0.6 || !first.Tank.CoverKnown ||
		first.Tank.Reading[species.Temperature].Value != 24 || first.Fish[0] != (conflict.Individual{Count: 2, Sex: species.Male, LengthCM: 8.4}) ||
		first.Fish[1] != (conflict.Individual{}) || first.moved() != 1 || first.Reason != conflict.Water {
		t.Errorf("read %+v", first)
	}
	if own.Fish[0].Count != 3 || own.Fish[1].Count != 3 || own.Tank.HasFootprint() || own.Tank.CoverKnown {
		t.Errorf("one kind is one group: %+v", own)
	}
	if _, err := Read(strings.NewReader(strings.Replace(in, "80x35x40cm", "large", 1)), finder(t)); err == nil {
		t.Error("a tank that is no size is no error")
	}
}

// The figures that the weights in the binary reach on the pairs they were fitted to; the
// held-out ones are in the report and lower.
func TestTheEmbeddedWeightsFitThePanel(t *testing.T) {
	w, err := conflict.EmbeddedWeights()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name  string
		panel Panel
		kappa float64
	}{
		{"ordinary", realPanel(t, "dev", "dev2"), 0.83},
		{"under stated conditions", realPanel(t, "conditions"), 0.78},
	} {
		scores, err := c.panel.Scores(w)
		if err != nil {
			t.Fatal(err)
		}
		got := c.panel.Confusion(scores)
		if got.Kappa() < c.kappa || got.SevereAsLow() > 0 {
			t.Errorf("%s: kappa %.3f, severe pairs called low %d", c.name, got.Kappa(), got.SevereAsLow())
		}
	}
}

func TestFitIsDeterministicAndImproves(t *testing.T) {
	panel := realPanel(t, "dev")[:24]
	start := conflict.StartingWeights()
	first, second := fit(panel, start, 4), fit(panel, start, 4)
	if first != second {
		t.Error("two fits of one panel differ")
	}
	if panel.Objective(first) >= panel.Objective(start) {
		t.Error("the fit is no better than its start")
	}
	if err := first.Validate(); err != nil {
		t.Error(err)
	}
}

func TestSoftLevelsAreChancesOfTheLevels(t *testing.T) {
	for _, score := range []float64{0, 12, 25, 60, 74.9, 75.1, 99.99} {
		p, sum := soft(at(score)), 0.0
		for _, x := range p {
			sum += x
		}
		if level := conflict.LevelOf(score); math.Abs(sum-1) > 1e-12 || p[level] < 0.45 {
			t.Errorf("score %v: %v", score, p)
		}
	}
	if at(75.0000001)-at(75) > 1e-3 || at(90) <= at(80) {
		t.Error("the scale has a step, or ends, where severe begins")
	}
}

func TestHeldOutPairsAreJudgedByFitsThatSawNeitherKind(t *testing.T) {
	panel := realPanel(t, "dev", "conditions")
	group := panel.deal()
	start := conflict.StartingWeights()
	held := Held{Causes: make([]conflict.Causes, len(panel)), Ordinary: make([]float64, len(panel))}
	var train Panel
	test := -1
	for i := range panel {
		a, b := group[parent(panel[i].A)], group[parent(panel[i].B)]
		switch {
		case a == b && a == 3:
			test = i
		case a != 3 && b != 3:
			train = append(train, panel[i])
		}
	}
	if test < 0 || len(train) == 0 {
		t.Fatal("the draw has no pair to test with")
	}
	train = train[:12]
	w := fit(train, start, 1)
	if err := held.fold(append(train, panel[test]), start, group, 3, 3); err == nil && len(held.Fits) == 1 {
		got := panel[test : test+1]
		want, err := got.Causes(held.Fits[0])
		if err != nil || held.Causes[len(train)] != want[0] {
			t.Errorf("%v: held out %+v, want %+v", err, held.Causes[len(train)], want)
		}
	} else {
		t.Fatalf("%v, %d fits", err, len(held.Fits))
	}
	if train.Objective(w) > train.Objective(start) {
		t.Error("one round makes it worse")
	}
	var report strings.Builder
	known := Held{Causes: held.Causes, Ordinary: held.Ordinary, Fits: held.Fits}
	if err := Report(&report, panel, start, known, func(*species.Species) bool { return true }); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"kappa", "held out", "trade memory", "own kind", "cichlids", "bands hold", "who harms whom", "stated conditions", "predation"} {
		if !strings.Contains(report.String(), want) {
			t.Errorf("the report does not say %q", want)
		}
	}
}
