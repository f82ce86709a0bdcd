package care_test

import (
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/stocking/care"
	"commensal/internal/stocking/testfish"
)

// sheet is the sheet of a plain fish in which something is changed.
func sheet(t *testing.T, tank *stocking.Tank, change func(*species.Species)) (codes map[stocking.Code]bool, yours int) {
	t.Helper()
	s, err := care.For(testfish.WorldOf(t, testfish.Altered("fish a", change)), care.Question{Tank: tank})
	if err != nil {
		t.Fatal(err)
	}
	codes = map[stocking.Code]bool{}
	for i := range s.Lines {
		codes[s.Lines[i].Finding.Code()] = true
		if s.Lines[i].Topic == care.YourTank {
			yours++
		}
	}
	return codes, yours
}

func TestAHabitIsToldFromThreeFifths(t *testing.T) {
	for grade, want := range map[float64]bool{0.6: true, 0.57: false} {
		for trait, code := range map[species.Trait]stocking.Code{species.FinNipping: "care.nips", species.Piscivory: "care.eats_fish",
			species.AggressionOwn: "care.fights_own", species.PlantEating: "care.eats_plants"} {
			if codes, _ := sheet(t, nil, testfish.Trait(trait, grade)); codes[code] != want {
				t.Errorf("%s of %v: %s is told %v", trait, grade, code, codes[code])
			}
		}
	}
}

func TestALevelIsOnesOwnFromHalfOfTheTime(t *testing.T) {
	for share, want := range map[float64]stocking.Code{0.5: "care.level.bottom", 0.48: "care.level.all"} {
		codes, _ := sheet(t, nil, func(sp *species.Species) {
			sp.Zones.Share = [species.NumZones]float64{(1 - share) / 2, (1 - share) / 2, share}
		})
		if !codes[want] {
			t.Errorf("%v of the time on the ground is told as %v", share, codes)
		}
	}
}

// Of a tank in which everything is wrong the two gravest things are told, and of a sound one that it is.
func TestOfTheCustomersTankTwoThingsAreTold(t *testing.T) {
	open := false
	tank := &stocking.Tank{Lid: &open}
	tank.LengthCM, tank.WidthCM, tank.HeightCM = 25, 15, 15
	for p, v := range [...]float64{14, 9.5, 28, 8} {
		tank.Reading[p].Value, tank.Reading[p].Known = v, true
	}
	if _, n := sheet(t, tank, testfish.Trait(species.Jumping, 0.9)); n != 2 {
		t.Errorf("%d things are told", n)
	}
	if codes, n := sheet(t, stocking.TankOf(conflict.TankSize{LengthCM: 120, WidthCM: 50, HeightCM: 50}), func(*species.Species) {}); n != 1 || !codes["care.your_tank"] {
		t.Errorf("of a sound tank %d: %v", n, codes)
	}
}

// A kind that nips or eats others is not called mild, and what may show from three tenths is told so.
func TestWhatHarmsOthersIsNotCalledMild(t *testing.T) {
	for _, c := range []struct {
		trait     species.Trait
		grade     float64
		code      stocking.Code
		mild, has bool
	}{
		{species.FinNipping, 0.3, "care.may_nip", false, true},
		{species.FinNipping, 0.28, "care.may_nip", true, false},
		{species.Claws, 0.4, "care.may_grip", false, true},
		{species.Piscivory, 0.6, "care.eats_fish", false, true},
		{species.Piscivory, 0.3, "care.may_eat_fish", false, true},
		{species.PlantEating, 0.6, "care.eats_plants", true, true},
		{species.Jumping, 0.6, "care.jumps", true, true},
		{species.Jumping, 0.58, "care.jumps", true, false},
	} {
		codes, _ := sheet(t, nil, func(sp *species.Species) {
			testfish.Trait(species.AggressionOthers, 0.1)(sp)
			testfish.Trait(c.trait, c.grade)(sp)
		})
		if codes["care.temper.mild"] != c.mild || codes[c.code] != c.has {
			t.Errorf("%s of %v: mild %v, %s %v", c.trait, c.grade, codes["care.temper.mild"], c.code, codes[c.code])
		}
	}
	for needs, want := range map[string]bool{"land_area": true, "sand": false} {
		if codes, _ := sheet(t, nil, func(sp *species.Species) { sp.Needs = []string{needs} }); codes["care.land"] != want {
			t.Errorf("%s: land is told %v", needs, codes["care.land"])
		}
	}
}
