package main

import (
	"bytes"
	"strings"
	"testing"

	"commensal/api/gen"
)

// leastInside is the share of lists, in per cent, that must be decided as a careful keeper would
// defend.
const leastInside = 92

func TestListsAreDecidedAsACarefulKeeperWouldDefend(t *testing.T) {
	for _, panel := range []struct {
		file string
		many int
	}{{"lists.json", 240}, {"lists-second.json", 120}} {
		t.Run(panel.file, func(t *testing.T) { holds(t, "../../testdata/"+panel.file, panel.many) })
	}
}

// holds asks about the lists of a file, many of them at the least.
func holds(t *testing.T, file string, many int) {
	cases, err := readCases(file)
	if err != nil {
		t.Fatal(err)
	}
	if len(cases) < many {
		t.Errorf("only %d lists", len(cases))
	}
	outcomes, err := askAll(cases)
	if err != nil {
		t.Fatal(err)
	}
	var table bytes.Buffer
	writeTable(&table, outcomes)
	t.Logf("\n%s", &table)
	all := tallyOf(outcomes, func(*outcome) bool { return true })
	switch {
	case all.share() < leastInside:
		t.Errorf("%.1f%% inside, want %d%%", all.share(), leastInside)
	case all.refused > 0:
		t.Errorf("%d lists are refused", all.refused)
	case all.heldCleared > 0:
		t.Errorf("%d lists that every keeper holds are answered proceed", all.heldCleared)
	case 100*all.clearedHeld > all.clear:
		t.Errorf("%d of %d lists that every keeper clears are held", all.clearedHeld, all.clear)
	}
}

func TestTheTableCountsWhatIsAnswered(t *testing.T) {
	list := func(acceptable []string, main, answer string) outcome {
		o := outcome{judged: &judged{Acceptable: acceptable, Mains: []string{main}}}
		o.check.Decision = gen.Decision(answer)
		return o
	}
	outcomes := []outcome{
		list([]string{"hold"}, "water", "proceed"), list([]string{"proceed"}, "none", "hold"),
		list([]string{"proceed", "advise"}, "none", "advise"),
	}
	var table bytes.Buffer
	writeTable(&table, outcomes)
	for _, want := range []string{"all", "33.3%", "answered proceed: 1", "answered hold: 1 of 1"} {
		if !strings.Contains(table.String(), want) {
			t.Errorf("no %q in\n%s", want, &table)
		}
	}
}
