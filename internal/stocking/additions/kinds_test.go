package additions

import (
	"testing"

	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"

	"pgregory.net/rapid"
)

// What the table of kinds counts against a species in a tank is what the findings about it come to.
func TestTheTableOfKindsCountsWhatIsFound(t *testing.T) {
	real, generated := testfish.Book(t), testfish.GeneratedBook(t, 160)
	rapid.Check(t, func(t *rapid.T) {
		b := testfish.DrawBook(t, real, generated)
		s := stockingtest.DrawStock(t, b, 3)
		s.Region = rapid.SampledFrom([]string{"", "", "US-CA", "GB"}).Draw(t, "region")
		sc := newScan(b, &s, &Options{})
		for i := rapid.IntRange(0, 6).Draw(t, "first"); i < b.Snapshot.Len(); i += 7 {
			counted, found := sc.begin(i, 0, 0, false).rank, sc.begin(i, 0, 0, true).rank
			if counted != found {
				t.Fatalf("%s: counted %+v, found %+v", b.Snapshot.At(i).ID, counted, found)
			}
		}
	})
}
