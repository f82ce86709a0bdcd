package meanings_test

import (
	"slices"
	"testing"

	"commensal/internal/stocking"
	"commensal/internal/stocking/meanings"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"

	"pgregory.net/rapid"
)

// TestAnUnclearNameIsJudgedAtItsHarshest tries every meaning by hand.
func TestAnUnclearNameIsJudgedAtItsHarshest(t *testing.T) {
	b := testfish.Book(t)
	rapid.Check(t, func(t *rapid.T) {
		s := stockingtest.DrawStock(t, b, 4)
		kinds := []int{s.Lines[0].Index}
		for len(kinds) < 3 {
			if i := rapid.IntRange(0, b.Snapshot.Len()-1).Draw(t, "meaning"); !slices.Contains(kinds, i) {
				kinds = append(kinds, i)
			}
		}
		s.Lines[0].Word, s.Lines[0].Meanings = "word", kinds
		settled, names := meanings.Settle(b, s)
		if len(names) != 1 || len(names[0].Meanings) != 3 || names[0].Untried != 0 {
			t.Fatalf("%+v", names)
		}
		harshest, agree := stocking.Proceed, true
		for k, index := range kinds {
			one := s
			one.Lines = slices.Clone(s.Lines)
			one.Lines[0].Index = index
			c, err := stocking.Judge(b, one)
			if err != nil {
				t.Fatal(err)
			}
			if c.Decision != names[0].Meanings[k].Decision {
				t.Fatalf("meaning %d: %v, told %v", k, c.Decision, names[0].Meanings[k].Decision)
			}
			harshest, agree = max(harshest, c.Decision), agree && c.Decision == names[0].Meanings[0].Decision
		}
		c, err := stocking.Judge(b, settled)
		if err != nil || c.Decision != harshest {
			t.Fatalf("settled as %v, the harshest is %v (%v)", c.Decision, harshest, err)
		}
		if names[0].Agree && !agree {
			t.Fatal("said to be the same whichever is meant")
		}
	})
}
