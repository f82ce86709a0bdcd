package main

import (
	"bytes"
	"strings"
	"testing"

	"commensal/api/gen"
)

// panel is a file of judged lists and what must hold of it.
type panel struct {
	file    string
	many    int     // lists in it at the least
	inside  float64 // per cent that must be decided as a careful keeper would defend
	refused int     // lists with a name that is not found yet
}

func TestListsAreDecidedAsACarefulKeeperWouldDefend(t *testing.T) {
	for _, p := range []panel{
		{file: "lists.json", many: 240, inside: 92},
		{file: "lists-second.json", many: 120, inside: 92},
		{file: "lists-third.json", many: 120, inside: 92},
		{file: "lists-fourth.json", many: 120, inside: 92, refused: 1}, // a slip of the keyboard: nothing is guessed
		{file: "lists-fifth.json", many: 120, inside: 92},
		{file: "lists-sixth.json", many: 120, inside: 92},
		{file: "lists-seventh.json", many: 120, inside: 92},
	} {
		t.Run(p.file, func(t *testing.T) { p.holds(t, "../../testdata/"+p.file) })
	}
}

// holds asks about the lists of a file.
func (p *panel) holds(t *testing.T, file string) {
	cases, err := readCases(file)
	if err != nil {
		t.Fatal(err)
	}
	if len(cases) < p.many {
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
	case all.share() < p.inside:
		t.Errorf("%.1f%% inside, want %v%%", all.share(), p.inside)
	case all.refused > p.refused:
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
