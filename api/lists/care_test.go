package lists

import (
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/internal/slip"
	"commensal/internal/stocking"
	"commensal/internal/stocking/care"
)

// maxCareLines is how long a care slip may be.
const maxCareLines = 25

func TestEveryCareSlipIsShortAndWhole(t *testing.T) {
	book := fixture.Fitted(t)
	tiny := &stocking.Tank{}
	tiny.LengthCM, tiny.WidthCM, tiny.HeightCM = 30, 20, 20
	for i := range book.Snapshot.Len() {
		sp := book.Snapshot.At(i)
		for _, q := range []care.Question{{Index: i}, {Index: i, Tank: tiny, Region: "Germany"}} {
			sheet, err := careSheet(book, q, q.Tank != nil)
			if err != nil {
				t.Fatal(err)
			}
			text := slip.Care(&sheet, slip.Columns)
			if n := strings.Count(text, "\n"); n > maxCareLines {
				t.Errorf("%s has %d lines:\n%s", sp.ID, n, text)
			}
			for line := range strings.Lines(text) {
				if utf8.RuneCountInString(strings.TrimSuffix(line, "\n")) > slip.Columns {
					t.Errorf("%s: %q is longer than a line", sp.ID, line)
				}
			}
			if strings.ContainsAny(text, "{}") || strings.Contains(text, "care.") {
				t.Errorf("%s: a statement has no words:\n%s", sp.ID, text)
			}
			for _, topic := range []gen.CareTopic{gen.CareSize, gen.CareGroup, gen.CareTank, gen.CareWater, gen.CareFood, gen.CareTemper} {
				if !slices.ContainsFunc(sheet.Lines, func(l gen.CareLine) bool { return l.Topic == topic }) {
					t.Errorf("%s: nothing is said of %s", sp.ID, topic)
				}
			}
			if (sheet.Decision != nil) != (q.Tank != nil) {
				t.Errorf("%s: decision %v", sp.ID, sheet.Decision)
			}
		}
	}
}
