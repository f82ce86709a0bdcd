package main

import (
	"encoding/json"
	"strings"
	"testing"

	"commensal/api/gen"
)

const splitList = `residents:
  - {species: neon tetra, count: 12}
  - {species: oscar, count: 1}
  - {species: Hoplisoma panda, count: 6}
`

func TestGroupingsSplitAListForPeople(t *testing.T) {
	status, out, errs := feed(t, splitList, "groupings", "-")
	if status != exitOK || errs != "" {
		t.Fatalf("%d %s", status, errs)
	}
	for _, want := range []string{"2 tanks hold them all, and fewer cannot.", "Tank 1: ", "Tank 2: ", "1 Oscar", "6 Panda cory; 12 Neon tetra", "Cautions"} {
		if !strings.Contains(out, want) {
			t.Errorf("%q is not in\n%s", want, out)
		}
	}
	for line := range strings.Lines(out) {
		if len([]rune(strings.TrimSuffix(line, "\n"))) > 80 {
			t.Errorf("over 80 columns: %s", line)
		}
	}
}

func TestGroupingsOverGivenTanksSayWhatHasNoPlace(t *testing.T) {
	status, out, errs := feed(t, splitList+"tanks:\n  - {size: 60x30x36cm}\n  - {size: 100x40x40cm}\n", "groupings", "-")
	if status != exitOK || !strings.Contains(out, "Without a place\n  - 1 Oscar: ") || !strings.Contains(out, "of those given") || !strings.Contains(out, "came nearest") {
		t.Errorf("%d %s %s", status, errs, out)
	}
}

func TestGroupingsOfABasketAsJSON(t *testing.T) {
	status, out, errs := feed(t, "neon tetra,12\noscar,1\n", "groupings", "-", "--json")
	var g gen.Groupings
	if err := json.Unmarshal([]byte(out), &g); err != nil || status != exitOK || len(g.Groups) != 2 {
		t.Errorf("%d %v %s %s", status, err, errs, out)
	}
}

func TestABadTankIsToldByItsLine(t *testing.T) {
	status, _, errs := feed(t, splitList+"tanks:\n  - {size: 60x30x36cm}\n  - {size: 1x1x1cm}\n", "groupings", "-")
	if status != exitUsage || !strings.Contains(errs, "standard input:7: ") {
		t.Errorf("%d %s", status, errs)
	}
}
