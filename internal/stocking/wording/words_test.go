package wording_test

import (
	"strings"
	"testing"
	"unicode/utf8"

	"commensal/internal/conflict"
	"commensal/internal/stocking"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"
	"commensal/internal/stocking/wording"

	"pgregory.net/rapid"
)

func TestEverySentenceIsCompleteAndEverySummaryShort(t *testing.T) {
	b := testfish.Book(t)
	rapid.Check(t, func(t *rapid.T) {
		s := stockingtest.DrawStock(t, b, 6)
		for i := range s.Lines {
			s.Lines[i].Keep = rapid.IntRange(0, 3).Draw(t, "keep") == 0
		}
		c, err := stocking.Judge(b, s)
		if err != nil {
			t.Fatal(err)
		}
		for _, us := range []bool{false, true} {
			w := wording.English(us)
			for _, s := range stockingtest.EveryStatement(&c) {
				if text := w.Sentence(s); len(text) < 8 || strings.ContainsAny(text, "{}") || !strings.HasSuffix(text, ".") {
					t.Fatalf("incomplete sentence %q for %s", text, s.Code)
				}
			}
			text := w.Summary(&c.Summary)
			if n := utf8.RuneCountInString(text); n > wording.SummaryLimit || strings.ContainsAny(text, "{}") || !strings.HasSuffix(text, ".") {
				t.Fatalf("summary of %d characters: %q", n, text)
			}
		}
	})
}

func TestSummariesSayWhatDecides(t *testing.T) {
	calm := func(l stocking.Line) stocking.Line { l.Observed, l.MonthsObserved = conflict.Calmer, 24; return l }
	for _, c := range []struct {
		ensures string
		lines   []stocking.Line
		want    string
	}{
		{"predation is named with both lengths", []stocking.Line{stockingtest.Some(t, "oscar", 1), stockingtest.Some(t, "neon tetra", 10)},
			"Hold: Oscars of 32 cm eat neon tetras of 3.5 cm; one other problem."},
		{"a list that suits is said to", []stocking.Line{stockingtest.Some(t, "neon tetra", 10), stockingtest.Some(t, "corydoras panda", 6)},
			"Proceed: No problem found between these 2 kinds."},
		{"one kind is named", []stocking.Line{stockingtest.Some(t, "neon tetra", 10)}, "Proceed: No problem found with neon tetras."},
		{"a finding that decides is said as a clause", []stocking.Line{stockingtest.Some(t, "neon tetra", 2)},
			"Advise: Too few neon tetras."},
		{"a disposition stands beside the species-level answer", []stocking.Line{calm(stockingtest.Some(t, "rocio octofasciata", 1)), stockingtest.Some(t, "oscar", 1)}, ""},
	} {
		t.Run(c.ensures, func(t *testing.T) {
			got := stockingtest.MustJudge(t, testfish.Book(t), stocking.Stock{Lines: c.lines, Wanted: stocking.DefaultWanted})
			text := wording.English(false).Summary(&got.Summary)
			if c.want != "" && text != c.want {
				t.Errorf("got  %q\nwant %q", text, c.want)
			}
			if c.want == "" && (!strings.Contains(text, "Calmer for 24 months") || !strings.Contains(text, "its species")) {
				t.Errorf("no disposition in %q", text)
			}
		})
	}
}
