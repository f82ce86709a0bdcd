package stocking_test

import (
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/stocking/remedies"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"
	"commensal/internal/stocking/wording"
)

// findingCase is one list and the one finding it is about. With a remedy promised, the
// finding must be gone, or at least a note, after it.
type findingCase struct {
	ensures string
	fish    func(*species.Species)
	lines   []stocking.Line
	tank    func(*stocking.Tank) // nil keeps the good tank
	noTank  bool
	code    stocking.Code
	want    stocking.Severity
	absent  bool // the finding must not be there
	remedy  stocking.ChangeKind
}

func one(count int) []stocking.Line { return []stocking.Line{{Count: count}} }

func incoming(count int) []stocking.Line { return []stocking.Line{{Count: count, Incoming: true}} }

func (c *findingCase) run(t *testing.T) {
	change := c.fish
	if change == nil {
		change = func(*species.Species) {}
	}
	b := testfish.WorldOf(t, testfish.Altered("Fish a", change))
	s := stocking.Stock{Lines: c.lines, Tank: stockingtest.GoodTank(), Wanted: stocking.DefaultWanted}
	if c.tank != nil {
		c.tank(s.Tank)
	}
	if c.noTank {
		s.Tank = nil
	}
	got := stockingtest.MustJudge(t, b, s)
	f := stockingtest.FindingOf(&got, c.code)
	switch {
	case c.absent && f == nil:
		return
	case c.absent:
		t.Fatalf("found %s: %s", c.code, wording.English(false).Sentence(f.Statement))
	case f == nil:
		t.Fatalf("did not find %s among %v", c.code, got.Findings)
	case f.Severity != c.want:
		t.Fatalf("severity %v, want %v", f.Severity, c.want)
	case got.Decision < stocking.DecisionOf([]stocking.Finding{*f}):
		t.Fatalf("decision %v with a finding that is a %v", got.Decision, f.Severity)
	}
	c.checkRemedy(t, b, &s, &got, f)
}

// checkRemedy makes the remedy and judges again.
func (c *findingCase) checkRemedy(t *testing.T, b *conflict.Book, s *stocking.Stock, got *stocking.Check, f *stocking.Finding) {
	t.Helper()
	if c.remedy == "" {
		if f.Remedy != nil {
			t.Fatalf("unexpected remedy %+v", *f.Remedy)
		}
		return
	}
	if f.Remedy == nil || f.Remedy.Kind != c.remedy {
		t.Fatalf("remedy %+v, want %s", f.Remedy, c.remedy)
	}
	after := *s
	after.Lines, after.Tank = remedies.Apply(b, got.Lines, s.Tank, *f.Remedy)
	then := stockingtest.MustJudge(t, b, after)
	if left := stockingtest.FindingOf(&then, c.code); left != nil && left.Severity > stocking.Note {
		t.Fatalf("still found after the remedy: %s", wording.English(false).Sentence(left.Statement))
	}
}

func runFindings(t *testing.T, cases []findingCase) {
	for _, c := range cases {
		t.Run(c.ensures, c.run)
	}
}

func TestAGoodTankHasNothingToComplainOf(t *testing.T) {
	c := stockingtest.MustJudge(t, testfish.WorldOf(t, testfish.PlainFish("Fish a")), stocking.Stock{Lines: one(6), Tank: stockingtest.GoodTank(), Wanted: stocking.DefaultWanted})
	if c.Decision != stocking.Proceed || c.TankDecision != stocking.Proceed || len(c.Findings) != 0 {
		t.Fatalf("decision %v, findings %v", c.Decision, c.Findings)
	}
}

func group(low, typical float64) func(*species.Species) {
	return func(sp *species.Species) {
		sp.Social = species.Group
		sp.Traits[species.GroupMin] = testfish.Known(low, typical, typical+4)
	}
}

func social(s species.Social, then func(*species.Species)) func(*species.Species) {
	return func(sp *species.Species) {
		sp.Social = s
		if then != nil {
			then(sp)
		}
	}
}

func ratio(low, typical float64) func(*species.Species) {
	return func(sp *species.Species) { sp.Traits[species.FemalesPerMale] = testfish.Known(low, typical, typical+1) }
}

func sexed(males, females int) []stocking.Line {
	return []stocking.Line{{Count: males, Sex: species.Male}, {Count: females, Sex: species.Female}}
}

func TestGroupsAndSexes(t *testing.T) {
	runFindings(t, []findingCase{
		{ensures: "a shoal well below its least number is advice", fish: group(6, 8), lines: one(4), code: stocking.GroupTooSmall, want: stocking.Advice, remedy: stocking.RaiseGroup},
		{ensures: "a shoal just below its least number is a note", fish: group(8, 10), lines: one(6), code: stocking.GroupTooSmall, want: stocking.Note, remedy: stocking.RaiseGroup},
		{ensures: "the least number exactly is enough", fish: group(6, 8), lines: one(6), code: stocking.GroupTooSmall, absent: true},
		{ensures: "below the customary number is a note", fish: group(6, 8), lines: one(7), code: stocking.GroupBelowCustom, want: stocking.Note, remedy: stocking.RaiseGroup},
		{ensures: "the customary number is no note", fish: group(6, 8), lines: one(8), code: stocking.GroupBelowCustom, absent: true},
		{ensures: "a lone schooling fish is advice even where the catalogue allows one", fish: group(1, 6), lines: one(1), code: stocking.GroupTooSmall, want: stocking.Advice, remedy: stocking.RaiseGroup},
		{ensures: "a shoal in two lines counts as one", fish: group(6, 6), lines: sexed(3, 3), code: stocking.GroupTooSmall, absent: true},
		{ensures: "residents and incoming count together", fish: group(6, 6), lines: []stocking.Line{{Count: 3}, {Count: 3, Incoming: true}}, code: stocking.GroupTooSmall, absent: true},
		{ensures: "no number given means the customary group", fish: group(6, 8), lines: one(0), code: stocking.GroupBelowCustom, absent: true},
		{ensures: "a solitary species in numbers is advice", fish: social(species.Solitary, nil), lines: one(2), code: stocking.SolitaryInNumbers, want: stocking.Advice, remedy: stocking.ReduceGroup},
		{ensures: "a solitary species alone is fine", fish: social(species.Solitary, nil), lines: one(1), code: stocking.SolitaryInNumbers, absent: true},
		{ensures: "a solitary species with no number given is alone", fish: social(species.Solitary, nil), lines: one(0), code: stocking.SolitaryInNumbers, absent: true},
		{ensures: "too few females is advice", fish: social(species.Group, ratio(2, 3)), lines: sexed(2, 3), code: stocking.SexRatio, want: stocking.Advice, remedy: stocking.AddFemales},
		{ensures: "the least ratio exactly is enough", fish: social(species.Group, ratio(2, 3)), lines: sexed(2, 4), code: stocking.SexRatio, absent: true},
		{ensures: "males of a shoal alone are a customary way to keep them", fish: social(species.Group, ratio(2, 3)), lines: []stocking.Line{{Count: 6, Sex: species.Male}}, code: stocking.SexRatio, absent: true},
		{ensures: "a line of untold sex leaves the ratio open", fish: social(species.Group, ratio(2, 3)), lines: append(sexed(2, 1), stocking.Line{Count: 4}), code: stocking.SexRatio, absent: true},
		{ensures: "two males of a one-male species are wrong", fish: social(species.Harem, ratio(2, 3)), lines: []stocking.Line{{Count: 2, Sex: species.Male}}, code: stocking.SexesWrong, want: stocking.Advice, remedy: stocking.ReduceGroup},
		{ensures: "two males with females for both are not", fish: social(species.Harem, ratio(2, 3)), lines: sexed(2, 4), code: stocking.SexesWrong, absent: true},
		{ensures: "two males are no pair", fish: social(species.Pair, nil), lines: []stocking.Line{{Count: 2, Sex: species.Male}}, code: stocking.SexesWrong, want: stocking.Advice, remedy: stocking.ReduceGroup},
		{ensures: "a sex that nobody tells is a note", fish: func(sp *species.Species) { sp.SexedTrade = false }, lines: sexed(1, 1), code: stocking.SexNotTold, want: stocking.Note},
		{ensures: "a sex that is told in the trade is not", lines: sexed(1, 1), code: stocking.SexNotTold, absent: true},
	})
}

func size(l, w, h float64) func(*stocking.Tank) {
	return func(t *stocking.Tank) { t.LengthCM, t.WidthCM, t.HeightCM = l, w, h }
}

func tall(sp *species.Species) { sp.Traits[species.TankHeight] = testfish.Known(45, 50, 60) }

func TestFormsOfOneSpeciesMakeOneGroup(t *testing.T) {
	shoal := testfish.Altered("Shoal", func(sp *species.Species) {
		sp.Social, sp.Traits[species.GroupMin] = species.Group, testfish.Exactly(6)
	})
	form := *shoal
	form.ID, form.Form, form.FormOf = "Shoal-veil", "veil", shoal.ID
	b := testfish.WorldOf(t, shoal, &form)
	for _, c := range []struct {
		plain, veiled int
		want          int // fish it is raised from; 0 for nothing found
	}{{3, 3, 0}, {2, 3, 5}, {6, 1, 0}} {
		got := stockingtest.MustJudge(t, b, stocking.Stock{Lines: []stocking.Line{{Index: 0, Count: c.plain}, {Index: 1, Count: c.veiled}}, Wanted: stocking.DefaultWanted})
		f := stockingtest.FindingOf(&got, stocking.GroupTooSmall)
		switch {
		case (f != nil) != (c.want > 0):
			t.Errorf("%d and %d: %+v", c.plain, c.veiled, f)
		case f != nil && (f.Statement.Evidence[0].Value != float64(c.want) || len(f.Lines) != 2):
			t.Errorf("%d and %d: %v in lines %v", c.plain, c.veiled, f.Statement.Evidence, f.Lines)
		}
	}
}

func TestTankSizes(t *testing.T) {
	runFindings(t, []findingCase{
		{ensures: "just under the least length is advice: minimums are round figures", lines: one(2), tank: size(45, 60, 40), code: stocking.TankTooShort, want: stocking.Advice, remedy: stocking.LargerTank},
		{ensures: "well below the least length is a stop", lines: one(2), tank: size(44.9, 60, 40), code: stocking.TankTooShort, want: stocking.Stop, remedy: stocking.LargerTank},
		{ensures: "the least length exactly is advice", lines: one(2), tank: size(50, 60, 40), code: stocking.TankTooShort, want: stocking.Advice, remedy: stocking.LargerTank},
		{ensures: "the customary length exactly is enough", lines: one(2), tank: size(60, 60, 40), code: stocking.TankTooShort, absent: true},
		{ensures: "a floor well below the least is a stop", lines: one(2), tank: size(60, 18.7, 40), code: stocking.FootprintTooSmall, want: stocking.Stop, remedy: stocking.LargerTank},
		{ensures: "a floor below the customary one is advice", lines: one(2), tank: size(60, 29.9, 40), code: stocking.FootprintTooSmall, want: stocking.Advice, remedy: stocking.LargerTank},
		{ensures: "the customary floor exactly is enough", lines: one(2), tank: size(60, 30, 40), code: stocking.FootprintTooSmall, absent: true},
		{ensures: "what the length says already is not said again", lines: one(2), tank: size(49, 25, 40), code: stocking.FootprintTooSmall, absent: true},
		{ensures: "a tank that is too low is advice", fish: tall, lines: one(2), tank: size(60, 60, 40), code: stocking.TankTooLow, want: stocking.Advice, remedy: stocking.LargerTank},
		{ensures: "a tank a little low is a note", fish: tall, lines: one(2), tank: size(60, 60, 45), code: stocking.TankTooLow, want: stocking.Note, remedy: stocking.LargerTank},
		{ensures: "the customary height exactly is enough", fish: tall, lines: one(2), tank: size(60, 60, 50), code: stocking.TankTooLow, absent: true},
		{ensures: "a young fish is judged for life", lines: []stocking.Line{{Count: 2, LengthCM: 1}}, tank: size(44, 60, 40), code: stocking.TankTooShort, want: stocking.Stop, remedy: stocking.LargerTank},
		{ensures: "a volume alone is judged as a tank of customary proportions", lines: one(2), tank: func(t *stocking.Tank) { size(0, 0, 0)(t); t.VolumeL = 6 }, code: stocking.TankTooShort, want: stocking.Stop, remedy: stocking.LargerTank},
		{ensures: "a volume that a long tank may have is not found short", lines: one(2), tank: func(t *stocking.Tank) { size(0, 0, 0)(t); t.VolumeL = 54 }, code: stocking.TankTooShort, absent: true},
		{ensures: "without any size, what is withheld is named", lines: one(2), tank: size(0, 0, 0), code: stocking.VolumeUnknown, want: stocking.Note},
		{ensures: "without a tank nothing is said about one", lines: one(2), noTank: true, code: stocking.VolumeUnknown, absent: true},
		{ensures: "a heavy tank that is new is a note", lines: incoming(2), tank: size(100, 50, 40), code: stocking.HeavyTank, want: stocking.Note},
		{ensures: "a litre less is not", lines: one(2), tank: size(100, 50, 39.8), code: stocking.HeavyTank, absent: true},
	})
}
