package main

import (
	"encoding/json"
	"strings"
	"testing"

	"commensal/api/gen"
)

const homes = `incoming:
  - {species: oscar, count: 1, length_cm: 18}
  - {species: Hoplisoma panda, count: 6}
tanks:
  - external_ref: harbour street
    tank: {size: 180x60x60cm, temperature_c: 26}
  - external_ref: mill lane
    tank: {size: 100x40x40cm}
    residents:
      - {species: neon tetra, count: 12}
`

func TestPlacementsSayWhoGoesWhereAndWhyNotElsewhere(t *testing.T) {
	t.Parallel()
	status, out, errs := feed(t, homes, "placements", "-")
	if status != exitOK || errs != "" {
		t.Fatalf("%d %s", status, errs)
	}
	for _, want := range []string{"Everyone finds a tank, and no other way does less harm.", "Tank 0, harbour street\n  1 Oscar", "Tank 1, mill lane\n  6 Panda cory",
		"tank 0; 1 of the tanks", "tank 1, hold: Oscars of 18 cm eat neon tetras"} {
		if !strings.Contains(strings.Join(strings.Fields(out), " "), strings.Join(strings.Fields(want), " ")) {
			t.Errorf("%q is not in\n%s", want, out)
		}
	}
	for line := range strings.Lines(out) {
		if len([]rune(strings.TrimSuffix(line, "\n"))) > 80 {
			t.Errorf("over 80 columns: %s", line)
		}
	}
}

func TestPlacementsTankByTank(t *testing.T) {
	t.Parallel()
	status, out, errs := feed(t, homes+"by_tank: yes\n", "placements", "-")
	if status != exitOK || !strings.Contains(out, "Tank by tank\n  Tank 0, harbour street\n      1 Oscar (18 cm), proceed, harm 0.0: ") {
		t.Errorf("%d %s\n%s", status, errs, out)
	}
}

func TestPlacementsAsJSONAndBadOnesByLine(t *testing.T) {
	t.Parallel()
	status, out, errs := feed(t, homes, "placements", "-", "--json")
	var a gen.Placements
	if err := json.Unmarshal([]byte(out), &a); err != nil || status != exitOK || len(a.Tanks) != 2 {
		t.Errorf("%d %v %s %s", status, err, errs, out)
	}
	status, _, errs = feed(t, strings.Replace(homes, "180x60x60cm", "1x1x1cm", 1), "placements", "-")
	if status != exitUsage || !strings.Contains(errs, "standard input:6: ") {
		t.Errorf("%d %s", status, errs)
	}
}
