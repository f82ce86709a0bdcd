package wording

import (
	"strings"
	"testing"
	"unicode/utf8"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
)

func TestSummariesStayShortWithLongNamesAndDispositions(t *testing.T) {
	long := strings.Repeat("Very long trade name ", 6)
	for code := range englishTable.Sentences {
		actor := &species.Species{ScientificName: long}
		s := conflict.Statement{Code: code, Actor: actor, Other: actor, Words: []conflict.WordCode{conflict.WordTemperature}}
		for _, name := range placeholders(englishTable.Sentences[code] + englishShort[code]) {
			s.Evidence = append(s.Evidence, conflict.Evidence{Name: name, Value: 1234.5, Unit: "cm"})
		}
		for _, more := range []int{0, 1, 12} {
			sum := stocking.Summary{Decision: stocking.Advise, Main: s, More: more, Observed: &stocking.Observed{
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
func summarised(code stocking.Code) bool {
	for _, prefix := range []string{"change.", "assumed.", "reason.", "split."} {
		if strings.HasPrefix(string(code), prefix) {
			return false
		}
	}
	switch code {
	case stocking.GroupBelowCustom, stocking.SexNotTold, stocking.LongCommitment, stocking.HeavyTank, stocking.FootprintUnknown, stocking.VolumeUnknown, stocking.WaterSwings, stocking.SwungOutside:
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

func TestEveryClauseHasASentence(t *testing.T) {
	for code, clause := range englishShort {
		if englishTable.Sentences[code] == "" || strings.HasSuffix(clause, ".") {
			t.Errorf("clause of %s: %q", code, clause)
		}
	}
	for _, d := range []stocking.Decision{stocking.Proceed, stocking.Advise, stocking.Hold} {
		if englishLead[d] == "" {
			t.Errorf("no lead for %v", d)
		}
	}
}

func TestEveryWordOfTheOutlookIsShortEnough(t *testing.T) {
	long := &species.Species{ScientificName: strings.Repeat("Very long trade name ", 6)}
	for code := range englishOutlookShort {
		s := conflict.Statement{Code: code, Actor: long, Other: long, Evidence: []conflict.Evidence{
			{Name: "month", Value: 119, Unit: "month"}, {Name: "level", Value: float64(conflict.Moderate), Unit: "level"}}}
		text := English(false).Summary(&stocking.Summary{Decision: stocking.Advise, Main: s, More: 12})
		if len([]rune(text)) > SummaryLimit || strings.ContainsAny(text, "{}") {
			t.Errorf("%s: %q", code, text)
		}
		if text := English(false).Sentence(s); strings.ContainsAny(text, "{}") || !strings.HasSuffix(text, ".") {
			t.Errorf("%s: %q", code, text)
		}
	}
}

// A sentence of two kinds names them by {actors} and {others}; {kinds} beside {others} would name the
// second twice, since it is among all kinds of a finding too.
func TestASentenceOfTwoKindsNamesEachOnce(t *testing.T) {
	for _, table := range []map[stocking.Code]string{englishTable.Sentences, englishOutlook.Sentences, englishSeveral, englishClauses} {
		for code, text := range table {
			if strings.Contains(text, "{others}") && (strings.Contains(text, "kinds}") || strings.Count(text, "{actors}") != 1 || strings.Count(text, "{others}") != 1) {
				t.Errorf("%s: %s", code, text)
			}
		}
	}
}
