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
