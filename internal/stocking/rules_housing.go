package stocking

import (
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

// When a fish is not sold without the tank being known: common practice, no source.
const (
	// giantTank is the shortest tank in cm that makes a kind outgrow nearly every home tank.
	giantTank = 180.0
	// roomyTank is the customary tank length in cm from which a tank must be asked for.
	roomyTank = 80.0
	// armsFrom is the adult length in cm from which a venomous or biting fish endangers people.
	armsFrom = 16.0
)

// housing asks for the tank where none is known: kinds that outgrow nearly every home tank or that
// endanger people are held, others that need a roomy one are advised on.
func (f *finder) housing(first int) {
	if !f.AtSale || f.Tank.Volume() > 0 || f.HasFootprint() {
		return
	}
	r := &f.Lines[first]
	need, known := r.Band(species.TankLength)
	ev := []conflict.Evidence{{Name: "length", Value: r.typical(species.Length, 0), Unit: "cm"},
		{Name: "needed_length", Value: need.Typical, Unit: "cm"}}
	switch {
	case dangerous(r):
		f.add(Stop, DangerousUnseen, f.kindLines(first), nil, ev...)
	case outgrows(r.Species) || known && need.Low >= giantTank:
		f.add(Stop, GiantUnhoused, f.kindLines(first), nil, ev...)
	case known && need.Typical >= roomyTank:
		f.add(Advice, TankAsked, f.kindLines(first), nil, ev...)
	}
}

func outgrows(sp *species.Species) bool { return slices.Contains(sp.Cautions, species.Tankbuster) }

// dangerous reports an animal that can hurt a person badly.
func dangerous(r *Resident) bool {
	has := func(c species.Caution) bool { return slices.Contains(r.Species.Cautions, c) }
	if has(species.Electric) {
		return true
	}
	return (has(species.Venomous) || has(species.Bites)) && r.typical(species.Length, 0) >= armsFrom
}
