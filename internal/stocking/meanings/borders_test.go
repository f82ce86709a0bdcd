package meanings_test

import (
	"testing"

	"commensal/internal/stocking/meanings"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"
)

// On the longest list three meanings of a name are judged, and it is said that there are more.
func TestOnALongListNotAllMeaningsAreJudged(t *testing.T) {
	s := stockingtest.LongList(t)
	s.Lines[0].Word, s.Lines[0].Meanings = "word", []int{0, 1, 2, 3, 4, 5}
	_, names := meanings.Settle(testfish.Book(t), s)
	if len(names) != 1 || names[0].Untried != 3 {
		t.Errorf("%+v", names)
	}
}
