package stocking

import (
	"commensal/internal/conflict"
	"commensal/internal/species"
)

// assumed names what was taken for granted, so that a reader can put it right.
func (j *judging) assumed() (out []conflict.Statement) {
	add := func(code Code, ev ...conflict.Evidence) {
		out = append(out, conflict.Statement{Code: code, Evidence: ev})
	}
	switch {
	case j.tank == nil:
		add(AssumedNoTank)
	case j.tank.ShapeTaken:
		add(AssumedShape, conflict.Evidence{Name: "volume", Value: j.tank.VolumeL, Unit: "L"},
			conflict.Evidence{Name: "length", Value: j.tank.LengthCM, Unit: "cm"},
			conflict.Evidence{Name: "width", Value: j.tank.WidthCM, Unit: "cm"},
			conflict.Evidence{Name: "height", Value: j.tank.HeightCM, Unit: "cm"})
	case !j.hasFootprint():
		add(AssumedFootprint)
	}
	if j.tank != nil && !j.tank.CoverKnown {
		add(AssumedCover, conflict.Evidence{Name: "cover", Value: conflict.NormalCover, Unit: "share"})
	}
	out = j.assumedWater(out)
	for i := range j.lines {
		if r := &j.lines[i]; r.Count == 0 {
			out = append(out, conflict.Statement{Code: AssumedCount, Actor: r.species,
				Evidence: []conflict.Evidence{{Name: "count", Value: float64(r.heads), Unit: "fish"}}})
		}
	}
	j.assumedLoad(add)
	return out
}

// assumedWater names the parameters without a reading, each judged at the best common
// point of every pairing.
func (j *judging) assumedWater(out []conflict.Statement) []conflict.Statement {
	for p := range species.Parameter(species.NumParameters) {
		if !j.reading(p).Known {
			out = append(out, conflict.Statement{Code: AssumedWater, Words: []conflict.WordCode{parameterWord[p]}})
		}
	}
	return out
}

// assumedLoad names what the load rests on.
func (j *judging) assumedLoad(add func(Code, ...conflict.Evidence)) {
	if j.load == nil {
		return
	}
	add(AssumedFood, conflict.Evidence{Name: "protein", Value: foodProtein, Unit: "share"})
	if j.load.TemperatureTaken {
		add(AssumedTemperature, conflict.Evidence{Name: "temperature", Value: j.load.TemperatureC, Unit: "C"})
	}
	if j.load.WaterL > 0 {
		add(AssumedNetVolume, conflict.Evidence{Name: "water", Value: j.load.WaterL, Unit: "L"},
			conflict.Evidence{Name: "share", Value: netShare, Unit: "share"})
	}
	if j.load.Nitrate != nil && j.load.Nitrate.SourceTaken {
		add(AssumedSource)
	}
}
