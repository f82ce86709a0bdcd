package stocking

import (
	"reflect"
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/stocking/testfish"
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

func TestAWipedSlateHoldsNothing(t *testing.T) {
	b := testfish.Book(t)
	s := Stock{Tank: TankOf(conflict.StandardTanks[3]), Wanted: DefaultWanted, Lines: []Line{{Index: 1, Count: 3, Word: "a"}, {Index: 4, Count: 2, Incoming: true}, {Index: 7, LengthCM: 2, AgeMonth: 2}}}
	on := new(Slate)
	for _, judge := range []func() error{
		func() error { _, err := JudgeShortOn(on, b, s); return err },
		func() error { _, err := JudgeReadyOn(on, b, &s); return err },
	} {
		if err := judge(); err != nil || len(on.given) == 0 || len(on.findings.block) == 0 {
			t.Fatal(err, "nothing was judged")
		}
		on.Wipe()
		holdsNothing(t, "given", on.given)
		holdsNothing(t, "lines", on.lines)
		holdsNothing(t, "residents", on.residents)
		holdsNothing(t, "profiles", on.profiles)
		holdsNothing(t, "pairs", on.pairs)
		holdsNothing(t, "briefs", on.briefs)
		holdsNothing(t, "gathered", on.gathered)
		holdsNothing(t, "ranks", on.ranks)
		holdsNothing(t, "findings", on.findings.block)
		holdsNothing(t, "evidence", on.evidence.block)
		holdsNothing(t, "changes", on.changes.block)
		holdsNothing(t, "numbers", on.numbers.block)
		holdsNothing(t, "kinds", on.kinds.block)
		holdsNothing(t, "known", on.met.known)
		holdsNothing(t, "pairwise", on.met.pairwise.block)
	}
}

func holdsNothing[T any](t *testing.T, name string, list []T) {
	t.Helper()
	for _, v := range list[:cap(list)] {
		if !reflect.ValueOf(&v).Elem().IsZero() {
			t.Errorf("%s: %+v is left", name, v)
		}
	}
}
