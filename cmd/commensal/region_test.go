package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

func TestWishesAndTheRegionCountOffline(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "homes.yaml")
	text := "incoming:\n  - {species: panda cory, count: 6}\n  - {species: red swamp crayfish, count: 1}\ntanks:\n" +
		"  - {label: Harbour Street, tank: {size: 120x50x50cm}, wishes: {not_wanted: [panda cory]}}\n" +
		"  - {label: Mill Lane, tank: {size: 100x40x40cm}, wishes: {wanted: [panda cory]}}\n"
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	out := strings.Join(strings.Fields(mustRun(t, nil, "placements", file, "--region", "DE")), " ")
	for _, said := range []string{"Tank 1, Mill Lane", "The keeper does not want panda corys.", "Red swamp crayfish may not be kept or sold where you are"} {
		if !strings.Contains(out, said) {
			t.Errorf("no %q in %s", said, out)
		}
	}
	if err := os.WriteFile(file, []byte("tank: {size: 120x50x50cm}\nresidents: []\nlimit: 1\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	if out := mustRun(t, nil, "additions", file, "--region", "DE", "--json"); !strings.Contains(out, `"forbidden":`) || strings.Contains(out, `"forbidden":0`) {
		t.Errorf("nothing is left out: %s", out)
	}
	if out := mustRun(t, nil, "additions", file, "--json"); strings.Contains(out, `"forbidden"`) {
		t.Errorf("something is left out for nowhere: %s", out)
	}
}
