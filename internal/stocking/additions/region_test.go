package additions

import (
	"testing"

	"commensal/internal/species/law"
	"commensal/internal/stocking"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"
)

// Whatever the region: what is told may be kept there, and nothing else was left out.
func TestWhatTheLawOfTheRegionForbidsIsLeftOut(t *testing.T) {
	b := testfish.Book(t)
	s := stocking.Stock{Tank: stockingtest.GoodTank(), Wanted: stocking.DefaultWanted}
	all := mustAdd(t, b, s, Options{Limit: 1, Below: 1})
	left := 0
	for _, region := range []string{"DE", "GB", "US", "AU", "NZ", "CA", "JP", "nowhere on record"} {
		s.Region = region
		place, forbidden := law.PlaceOf(region), map[int]bool{}
		for i := range b.Snapshot.Len() {
			forbidden[i] = law.Of(b.Law, place, b.Snapshot.At(i)).Hands() == law.Forbidden
		}
		a := mustAdd(t, b, s, Options{Limit: MaxLimit, Below: MaxLimit})
		left += a.Forbidden
		if a.Considered+a.Forbidden != all.Considered || a.RegionKnown != place.Known() || !place.Known() && a.Forbidden > 0 {
			t.Errorf("%s: %d looked at and %d left out, of %d", region, a.Considered, a.Forbidden, all.Considered)
		}
		for _, x := range append(a.Fitting, a.Below...) {
			hands := law.Of(b.Law, place, x.Species).Hands()
			if hands == law.Forbidden || hands == law.Permit && x.Fits {
				t.Errorf("%s: %s is told of (fits %v), which is %v there", region, x.Species.ID, x.Fits, hands)
			}
			if j := stockingtest.Joined(b, s, x.Index, x.Count); j.TankDecision != x.Decision {
				t.Errorf("%s: %s makes it %v, told %v", region, x.Species.ID, j.TankDecision, x.Decision)
			}
		}
		n := 0
		for _, out := range forbidden {
			if out {
				n++
			}
		}
		if n != a.Forbidden {
			t.Errorf("%s: %d are forbidden, %d were left out", region, n, a.Forbidden)
		}
	}
	if left == 0 {
		t.Error("no region forbids anything: the rules are not looked at")
	}
}
