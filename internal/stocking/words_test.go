package stocking

import (
	"strings"
	"testing"
	"unicode/utf8"

	"commensal/internal/conflict"
	"commensal/internal/species"

	"pgregory.net/rapid"
)

// everyStatement is all that a check says.
func everyStatement(c *Check) (out []conflict.Statement) {
	for i := range c.Findings {
		out = append(out, c.Findings[i].Statement)
		if r := c.Findings[i].Remedy; r != nil {
			out = append(out, r.Statement)
		}
	}
	for _, p := range c.Pairings {
		out = append(out, p.Summary)
	}
	for _, s := range c.LeaveOut.Sets {
		for _, l := range s.Lines {
			out = append(out, l.Reason)
		}
	}
	for _, p := range c.LeaveOut.Pinned {
		out = append(out, p.Reason)
	}
	return append(out, c.Assumed...)
}

func TestEverySentenceIsCompleteAndEverySummaryShort(t *testing.T) {
	b := book(t)
	rapid.Check(t, func(t *rapid.T) {
		s := drawStock(t, b, 6)
		for i := range s.Lines {
			s.Lines[i].Keep = rapid.IntRange(0, 3).Draw(t, "keep") == 0
		}
		c, err := Judge(b, s)
		if err != nil {
			t.Fatal(err)
		}
		for _, us := range []bool{false, true} {
			w := English(us)
			for _, s := range everyStatement(&c) {
				if text := w.Sentence(s); len(text) < 8 || strings.ContainsAny(text, "{}") || !strings.HasSuffix(text, ".") {
					t.Fatalf("incomplete sentence %q for %s", text, s.Code)
				}
			}
			text := w.Summary(&c.Summary)
			if n := utf8.RuneCountInString(text); n > SummaryLimit || strings.ContainsAny(text, "{}") || !strings.HasSuffix(text, ".") {
				t.Fatalf("summary of %d characters: %q", n, text)
			}
		}
	})
}

func TestSummariesStayShortWithLongNamesAndDispositions(t *testing.T) {
	long := strings.Repeat("Very long trade name ", 6)
	for code := range englishTable.Sentences {
		actor := &species.Species{ScientificName: long}
		s := conflict.Statement{Code: code, Actor: actor, Other: actor, Words: []conflict.WordCode{conflict.WordTemperature}}
		for _, name := range placeholders(englishTable.Sentences[code] + englishShort[code]) {
			s.Evidence = append(s.Evidence, conflict.Evidence{Name: name, Value: 1234.5, Unit: "cm"})
		}
		for _, more := range []int{0, 1, 12} {
			sum := Summary{Decision: Advise, Main: s, More: more, Observed: &Observed{
				Disposition: conflict.Calmer, Months: 24, Score: 61, SpeciesLevel: 72, Level: conflict.Moderate, LevelForSpecies: conflict.Severe}}
			if !summarised(code) {
				continue
			}
			if text := English(false).Summary(&sum); utf8.RuneCountInString(text) > SummaryLimit {
				t.Errorf("%d characters: %q", utf8.RuneCountInString(text), text)
			}
		}
	}
}

// summarised are the codes that may decide: all but those that are only ever said at
// length.
func summarised(code Code) bool {
	for _, prefix := range []string{"change.", "assumed.", "reason.", "split."} {
		if strings.HasPrefix(string(code), prefix) {
			return false
		}
	}
	switch code {
	case GroupBelowCustom, SexNotTold, LongCommitment, HeavyTank, FootprintUnknown, VolumeUnknown, WaterSwings, SwungOutside:
		return false // always notes
	}
	return true
}

func placeholders(template string) (names []string) {
	for {
		open := strings.IndexByte(template, '{')
		if open < 0 {
			return names
		}
		end := open + strings.IndexByte(template[open:], '}')
		names = append(names, template[open+1:end])
		template = template[end+1:]
	}
}

func TestSummariesSayWhatDecides(t *testing.T) {
	calm := func(l Line) Line { l.Observed, l.MonthsObserved = conflict.Calmer, 24; return l }
	for _, c := range []struct {
		ensures string
		lines   []Line
		want    string
	}{
		{"predation is named with both lengths", []Line{some(t, "oscar", 1), some(t, "neon tetra", 10)},
			"Hold: Oscar of 32 cm eats Neon tetra of 3.5 cm."},
		{"a list that suits is said to", []Line{some(t, "neon tetra", 10), some(t, "corydoras panda", 6)},
			"Proceed: Nothing speaks against keeping these 2 kinds together."},
		{"one kind is named", []Line{some(t, "neon tetra", 10)}, "Proceed: Nothing speaks against Neon tetra."},
		{"a finding that decides is said as a clause", []Line{some(t, "neon tetra", 2)},
			"Advise: 2 of Neon tetra are too few, at least 6."},
		{"a disposition stands beside the species-level answer", []Line{calm(some(t, "rocio octofasciata", 1)), some(t, "oscar", 1)}, ""},
	} {
		t.Run(c.ensures, func(t *testing.T) {
			got := mustJudge(t, book(t), Stock{Lines: c.lines, Wanted: DefaultWanted})
			text := English(false).Summary(&got.Summary)
			if c.want != "" && text != c.want {
				t.Errorf("got  %q\nwant %q", text, c.want)
			}
			if c.want == "" && (!strings.Contains(text, "Calmer for 24 months") || !strings.Contains(text, "its species")) {
				t.Errorf("no disposition in %q", text)
			}
		})
	}
}

func TestEveryClauseHasASentence(t *testing.T) {
	for code, clause := range englishShort {
		if englishTable.Sentences[code] == "" || strings.HasSuffix(clause, ".") {
			t.Errorf("clause of %s: %q", code, clause)
		}
	}
	for _, d := range []Decision{Proceed, Advise, Hold} {
		if englishLead[d] == "" {
			t.Errorf("no lead for %v", d)
		}
	}
}
