package additions

import (
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/stocking"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"
)

func TestWhatFitsIsVariedAndUsual(t *testing.T) {
	b := testfish.Book(t)
	tank := stockingtest.GoodTank()
	s := stocking.Stock{Lines: []stocking.Line{stockingtest.Some(t, "neon tetra", 12)}, Tank: tank, Wanted: conflict.Moderate}
	a := mustAdd(t, b, s, Options{Limit: 20})
	if len(a.Fitting) != 20 {
		t.Fatalf("%d fit", len(a.Fitting))
	}
	genera, families, usual := map[string]int{}, map[string]int{}, 0
	for i, x := range a.Fitting {
		genera[x.Species.Genus()]++
		families[x.Species.Family]++
		if usualness(x.Species) < 2 {
			usual++
		}
		if i > 0 && x.Worst+worstStep < a.Fitting[i-1].Worst {
			t.Errorf("%s comes after %s, which fits worse", x.Species.ID, a.Fitting[i-1].Species.ID)
		}
	}
	for genus, n := range genera {
		if n > 5 {
			t.Errorf("%d of %s", n, genus)
		}
	}
	if len(families) < 4 || usual == 0 {
		t.Errorf("%d families, %d usual in the trade", len(families), usual)
	}
}

// Where the customary group fits, nobody is told to buy fewer; where only the smallest fits, that is told.
func TestTheCustomaryGroupIsToldWhereItFits(t *testing.T) {
	b := testfish.Book(t)
	s := stocking.Stock{Lines: []stocking.Line{stockingtest.Some(t, "neon tetra", 12)}, Tank: stockingtest.GoodTank(), Wanted: conflict.Moderate}
	a := mustAdd(t, b, s, Options{Limit: 60})
	customary, fewer := 0, 0
	for _, x := range a.Fitting {
		if x.Count == x.Customary {
			customary++
			continue
		}
		fewer++
		own := stockingtest.Joined(b, s, x.Index, x.Customary)
		if own.TankDecision <= a.Decision && x.Worst >= worstStep {
			t.Errorf("%d %s are told, and %d would do as well", x.Count, x.Species.ID, x.Customary)
		}
		if got := stockingtest.Joined(b, s, x.Index, x.Count); got.TankDecision > a.Decision {
			t.Errorf("%d %s do not fit", x.Count, x.Species.ID)
		}
	}
	if customary < 30 {
		t.Errorf("%d as their customary group, %d as fewer", customary, fewer)
	}
}
