package species_test

import (
	"encoding/csv"
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"commensal/internal/species"
)

// verdict is how a label was read, held against what its writer meant.
type verdict int

const (
	readRight   verdict = iota // the kind that was meant, or first one of those that may be meant
	readAsked                  // several kinds with the right one among them: the counter is asked
	readUnknown                // nothing, with kinds that are near: the counter is asked
	readWrong                  // something else
	verdicts
)

// labelFloors are the least shares of labels read right, by language: what was reached last. The first figures, of the
// day the list was written, are in testdata/README.md.
var labelFloors = map[string]float64{"en": 0.95, "de": 0.95, "fr": 0.96, "es": 0.96, "pt": 0.95, "ja": 0.96, "zh": 0.95}

// maxLabelsWrong is how many labels of the whole list may be taken for something else, which is worse than a question.
const maxLabelsWrong = 0

// TestTradeLabelsAreReadAsMeant reads the labels of testdata/trade-labels.csv, which were written before anybody looked at
// how they are read.
func TestTradeLabelsAreReadAsMeant(t *testing.T) {
	s := trade(t)
	counts := map[string]*[verdicts]int{}
	wrong := 0
	for _, row := range tradeLabels(t, "trade-labels.csv") {
		label, language, meant := row[0], row[1], strings.Split(row[2], "|")
		v, got := readLabelAs(t, s, label, meant)
		if counts[language] == nil {
			counts[language] = new([verdicts]int)
		}
		counts[language][v]++
		if v == readWrong {
			wrong++
		}
		if v != readRight {
			t.Logf("%s %-8s %q: meant %s, read as %s", language, [...]string{"", "asked", "unknown", "wrong"}[v], label, row[2], got)
		}
	}
	for language, floor := range labelFloors {
		n := counts[language]
		if n == nil {
			t.Fatalf("no label in %s", language)
		}
		all := n[readRight] + n[readAsked] + n[readUnknown] + n[readWrong]
		t.Logf("%s: of %d labels %d right, %d asked, %d unknown, %d wrong", language, all, n[readRight], n[readAsked], n[readUnknown], n[readWrong])
		if share := float64(n[readRight]) / float64(all); share < floor {
			t.Errorf("%s: %.3f of the labels are read right, want at least %.3f", language, share, floor)
		}
	}
	if wrong > maxLabelsWrong {
		t.Errorf("%d labels are taken for something else, want at most %d", wrong, maxLabelsWrong)
	}
}

func readLabelAs(t *testing.T, s *species.Snapshot, label string, meant []string) (v verdict, got string) {
	l, err := s.ReadLabel(label)
	var unknown *species.UnknownNameError
	switch {
	case errors.As(err, &unknown):
		if len(unknown.Near) > 0 {
			return readUnknown, "nothing, near " + string(unknown.Near[0].ID)
		}
		return readUnknown, "nothing"
	case err != nil:
		t.Fatalf("%q: %v", label, err)
	case l.Other != nil && meant[0] == "not-a-fish":
		return readRight, ""
	case l.Other != nil:
		return readWrong, fmt.Sprint(l.Other.Kind, " ", l.Other.Word)
	}
	ids := make([]string, len(l.Meanings))
	for i, m := range l.Meanings {
		ids[i] = string(m.Species.ID)
	}
	got = strings.Join(ids, " ")
	switch {
	case meant[0] == "several" && len(ids) > 1:
		return readRight, got
	case slices.Contains(meant, ids[0]) && (len(ids) == 1 || len(meant) > 1):
		return readRight, got
	case slices.ContainsFunc(ids, func(id string) bool { return slices.Contains(meant, id) }):
		return readAsked, got
	}
	return readWrong, got
}

// tradeLabels is the list: label, language, and ids of what it may mean with bars between them, or not-a-fish.
func tradeLabels(t *testing.T, file string) [][]string {
	t.Helper()
	f, err := os.Open("testdata/" + file)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows[1:]
}

// TestMoreTradeLabelsAreReadAsMeant reads the labels of two more lists, which were written after the rules of the day: the
// second of plain labels, the third mostly of composite ones, such as a vernacular name with a scientific one behind it.
func TestMoreTradeLabelsAreReadAsMeant(t *testing.T) {
	s := trade(t)
	for _, list := range []struct {
		file                  string
		leastRight, mostWrong int
	}{{"trade-labels-second.csv", 71, 0}, {"trade-labels-third.csv", 653, 7}} {
		var n [verdicts]int
		for _, row := range tradeLabels(t, list.file) {
			v, got := readLabelAs(t, s, row[0], strings.Split(row[2], "|"))
			n[v]++
			if v != readRight {
				t.Logf("%s %-8s %q: meant %s, read as %s", row[1], [...]string{"", "asked", "unknown", "wrong"}[v], row[0], row[2], got)
			}
		}
		t.Logf("%s: %d right, %d asked, %d unknown, %d wrong", list.file, n[readRight], n[readAsked], n[readUnknown], n[readWrong])
		if n[readRight] < list.leastRight || n[readWrong] > list.mostWrong {
			t.Errorf("%s: %d labels are read right, want at least %d, and %d taken for something else, at most %d",
				list.file, n[readRight], list.leastRight, n[readWrong], list.mostWrong)
		}
	}
}
