package stocking

import (
	"testing"

	"commensal/internal/conflict"
)

// TestASnailMoreInAFullTankChangesNothing pins by how much incoming fish may raise what stands against the whole tank.
func TestASnailMoreInAFullTankChangesNothing(t *testing.T) {
	crowded := func(code Code, covered float64) Finding {
		return Finding{Severity: Stop, Statement: conflict.Statement{Code: code, Evidence: []conflict.Evidence{{Name: "covered", Value: covered}}}}
	}
	for _, c := range []struct {
		ensures             string
		code                Code
		now                 float64
		existing, postpones bool
	}{
		{"as full as before", TankCrowded, 1000, true, false},
		{"hardly fuller", TankCrowded, 1045, true, false},
		{"fuller", TankCrowded, 1058, false, true},
		{"worse by as much, but no matter of room", FilterImmature, 1058, false, false},
	} {
		before := Assessment{Findings: []Finding{crowded(c.code, 1000)}}
		f := crowded(c.code, c.now)
		if before.compare(&f); f.Existing != c.existing || f.Postpones != c.postpones {
			t.Errorf("%s: existing %v, postpones %v", c.ensures, f.Existing, f.Postpones)
		}
	}
	mild := Assessment{Findings: []Finding{crowded(TankCrowded, 1000)}}
	mild.Findings[0].Severity = Advice
	f := crowded(TankCrowded, 1000)
	if mild.compare(&f); f.Existing {
		t.Error("what was advised before and is a stop now does not stand since before")
	}
}
