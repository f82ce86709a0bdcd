package stocking

import (
	"slices"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/waterchem"
)

// tankSize finds a tank that is shorter, smaller or lower than adults of a species need.
// Without dimensions nothing is said (see [FootprintUnknown]).
func (f *finder) tankSize(first int) {
	if !f.HasFootprint() {
		return
	}
	r := &f.Lines[first]
	short := f.Tank.ShortFor(r)
	severity := short.Severities()
	if short.Length > Enough {
		length, _ := r.Band(species.TankLength)
		f.add(severity[0], TankTooShort, f.kindLines(first), f.largerTank(r),
			conflict.Evidence{Name: "tank_length", Value: f.Tank.LengthCM, Unit: "cm"},
			conflict.Evidence{Name: "needed_length", Value: length.Typical, Unit: "cm"},
			conflict.Evidence{Name: "least_length", Value: length.Low, Unit: "cm"})
	}
	if short.Footprint > Enough {
		f.footprint(severity[1], first)
	}
	if short.Height > Enough {
		need, _ := r.Band(species.TankHeight)
		f.add(severity[2], TankTooLow, f.kindLines(first), f.largerTank(r),
			conflict.Evidence{Name: "tank_height", Value: f.Tank.HeightCM, Unit: "cm"},
			conflict.Evidence{Name: "needed_height", Value: need.Typical, Unit: "cm"},
			conflict.Evidence{Name: "least_height", Value: need.Low, Unit: "cm"})
	}
}

func (f *finder) footprint(severity Severity, first int) {
	r := &f.Lines[first]
	length, width := r.typical(species.TankLength, 0), r.typical(species.TankWidth, 0)
	f.add(severity, FootprintTooSmall, f.kindLines(first), f.largerTank(r),
		conflict.Evidence{Name: "footprint", Value: f.Tank.LengthCM * f.Tank.WidthCM, Unit: "cm2"},
		conflict.Evidence{Name: "needed_footprint", Value: length * width, Unit: "cm2"},
		conflict.Evidence{Name: "needed_length", Value: length, Unit: "cm"},
		conflict.Evidence{Name: "needed_width", Value: width, Unit: "cm"},
		conflict.Evidence{Name: "tank_length", Value: f.Tank.LengthCM, Unit: "cm"},
		conflict.Evidence{Name: "tank_width", Value: f.Tank.WidthCM, Unit: "cm"})
}

// largerTank is the smallest standard tank that meets a line's customary minimum and is
// no smaller than the present one any way; nil where none is sold.
func (f *finder) largerTank(r *Resident) *Change {
	length, width := r.typical(species.TankLength, 0), r.typical(species.TankWidth, 0)
	return f.ToStandardTank(max(length, f.Tank.LengthCM), max(length*width, f.Tank.LengthCM*f.Tank.WidthCM),
		max(r.typical(species.TankHeight, 0), f.Tank.HeightCM))
}

// Crossing is how grave it is that two kinds on a list interbreed: a note, since few people who keep
// them breed them for sale.
const Crossing = Note

// hybrids finds different kinds that cross.
func (f *finder) hybrids() {
	f.kinds(func(a int) {
		f.kinds(func(b int) {
			if b <= a || !conflict.Crosses(f.Lines[a].Species, f.Lines[b].Species) {
				return
			}
			found := f.add(Crossing, Hybrids, append(f.kindLines(a), f.kindLines(b)...), nil)
			found.Statement.Other = f.Lines[b].Species
		})
	})
}

// crowding finds too much ground defended, too many fish in all, else too many at one level.
func (f *finder) crowding() {
	if !f.HasFootprint() {
		return
	}
	floor := f.Tank.LengthCM * f.Tank.WidthCM
	c := f.Crowding()
	if c.overGround(floor) {
		f.add(Advice, GroundCrowded, nil, f.ToStandardTank(f.Tank.LengthCM, c.Ground/groundCrowdedAt, f.Tank.HeightCM),
			conflict.Evidence{Name: "ground", Value: c.Ground, Unit: "cm2"},
			conflict.Evidence{Name: "footprint", Value: floor, Unit: "cm2"},
			conflict.Evidence{Name: "ratio", Value: c.Ground / floor, Unit: "times"})
	}
	if c.overAll(floor) {
		f.crowded(TankCrowded, c.Swum, floor, tankCrowdedAt)
		return
	}
	for z, area := range c.Levels {
		if c.overLevel(species.Zone(z), floor) {
			f.crowded(ZoneCrowded, area, floor, levelCrowdedAt).Statement.Words = []conflict.WordCode{zoneWord[z]}
		}
	}
}

func (f *finder) crowded(code Code, area, floor, limit float64) *Finding {
	return f.add(Advice, code, nil, f.ToStandardTank(f.Tank.LengthCM, area/limit, f.Tank.HeightCM),
		conflict.Evidence{Name: "covered", Value: area, Unit: "cm2"},
		conflict.Evidence{Name: "footprint", Value: floor, Unit: "cm2"})
}

// newTank reports a tank that is being stocked for the first time: everyone is about to join.
func (j *Assessment) newTank() bool {
	return !j.Together && !slices.ContainsFunc(j.Lines, func(r Resident) bool { return !r.Incoming })
}

// tankItself says what cannot be said for want of dimensions, and how heavy a large
// tank is.
func (f *finder) tankItself() {
	if f.Tank == nil {
		return
	}
	volume := f.Tank.Volume()
	switch {
	case volume <= 0:
		f.add(Note, VolumeUnknown, nil, nil)
	case !f.HasFootprint():
		f.add(Note, FootprintUnknown, nil, nil, conflict.Evidence{Name: "volume", Value: volume, Unit: "L"})
	}
	if volume < conflict.HeavyTankL || !f.newTank() {
		return
	}
	ev := []conflict.Evidence{{Name: "volume", Value: volume, Unit: "L"}}
	celsius, _ := f.temperature()
	if kg, err := waterchem.WaterMass(volume, celsius, f.salinity()); err == nil {
		ev = append(ev, conflict.Evidence{Name: "water_mass", Value: kg, Unit: "kg"})
		if f.HasFootprint() {
			if load, err := waterchem.FloorLoad(kg, f.Tank.LengthCM, f.Tank.WidthCM); err == nil {
				ev = append(ev, conflict.Evidence{Name: "floor_load", Value: load, Unit: "kN/m2"})
			}
		}
		f.add(Note, HeavyTank, nil, nil, ev...)
	}
}
