package stocking

import (
	"math"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/waterchem"
)

// When a tank is called crowded: common practice put into numbers, no source.
const (
	// swimRadius is the radius, in own lengths, of the water each fish is given when
	// the fish are laid out side by side.
	swimRadius = 0.5
	// LevelCrowdedAt and tankCrowdedAt are the shares of the footprint that the fish of
	// one level, and all fish, may cover so.
	LevelCrowdedAt = 0.25
	TankCrowdedAt  = 0.5
	// piledShare is the share of that water that shoals of the bottom take up there: loaches
	// and catfish lie on one another by choice, from bottomFrom of their time spent there.
	piledShare, bottomFrom = 0.6, 0.5
	// GroundCrowdedAt is the ratio of defended ground to footprint; at half of it
	// package conflict sees customary crowding.
	GroundCrowdedAt = 4.0
)

// hybrids finds different kinds that cross.
func (f *finder) hybrids() {
	f.kinds(func(a int) {
		f.kinds(func(b int) {
			if b <= a || !conflict.Crosses(f.Lines[a].Species, f.Lines[b].Species) {
				return
			}
			found := f.add(Advice, Hybrids, append(f.kindLines(a), f.kindLines(b)...), nil)
			found.Statement.Other = f.Lines[b].Species
		})
	})
}

// crowding adds up the ground that is defended and the water that is swum, in all and
// level by level. Fish of unknown levels are spread evenly.
func (f *finder) crowding() {
	if !f.HasFootprint() {
		return
	}
	floor := f.Tank.LengthCM * f.Tank.WidthCM
	if ratio := f.Ground / floor; ratio > GroundCrowdedAt {
		f.add(Advice, GroundCrowded, nil, f.ToStandardTank(f.Tank.LengthCM, f.Ground/GroundCrowdedAt, f.Tank.HeightCM),
			conflict.Evidence{Name: "ground", Value: f.Ground, Unit: "cm2"},
			conflict.Evidence{Name: "footprint", Value: floor, Unit: "cm2"},
			conflict.Evidence{Name: "ratio", Value: ratio, Unit: "ratio"})
	}
	total, byZone := f.Swum()
	if total > TankCrowdedAt*floor {
		f.crowded(TankCrowded, total, floor, TankCrowdedAt)
		return
	}
	for z, area := range byZone {
		if area > LevelCrowdedAt*floor {
			f.crowded(ZoneCrowded, area, floor, LevelCrowdedAt).Statement.Words = []conflict.WordCode{zoneWord[z]}
		}
	}
}

func (f *finder) crowded(code Code, area, floor, limit float64) *Finding {
	return f.add(Advice, code, nil, f.ToStandardTank(f.Tank.LengthCM, area/limit, f.Tank.HeightCM),
		conflict.Evidence{Name: "covered", Value: area, Unit: "cm2"},
		conflict.Evidence{Name: "footprint", Value: floor, Unit: "cm2"})
}

// piled is the share of its area that a line takes up at one level.
func piled(r *Resident, z species.Zone) float64 {
	if z == species.Bottom && Shoals(r.Species) && r.Species.Zones.Share[z] >= bottomFrom {
		return piledShare
	}
	return 1
}

// Swum is the area in cm² of all fish laid side by side, in all and by level; what piles
// up on the ground takes less of that level.
func (j *Assessment) Swum() (total float64, byZone [species.NumZones]float64) {
	for i := range j.Lines {
		r := &j.Lines[i]
		radius := swimRadius * r.Profile.Length()
		area := math.Pi * radius * radius * float64(r.Fish)
		total += area
		for z := range byZone {
			share := 1 / float64(species.NumZones)
			if r.Species.Zones.Known() {
				share = r.Species.Zones.Share[z]
			}
			byZone[z] += area * share * piled(r, species.Zone(z))
		}
	}
	return total, byZone
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
	if volume < conflict.HeavyTankL {
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
