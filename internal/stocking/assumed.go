package stocking

import (
	"commensal/internal/conflict"
	"commensal/internal/species"
)

// assumed names what was taken for granted, so that a reader can put it right.
func (j *Assessment) assumed() (out []conflict.Statement) {
	add := func(code Code, ev ...conflict.Evidence) {
		out = append(out, conflict.Statement{Code: code, Evidence: ev})
	}
	switch {
	case j.Tank == nil:
		add(AssumedNoTank)
	case !j.HasFootprint():
		add(AssumedFootprint)
	}
	if j.Tank != nil && !j.Tank.CoverKnown {
		add(AssumedCover, conflict.Evidence{Name: "cover", Value: conflict.NormalCover, Unit: "share"})
	}
	out = j.assumedWater(out)
	for i := range j.Lines {
		if r := &j.Lines[i]; r.Count == 0 {
			out = append(out, conflict.Statement{Code: AssumedCount, Actor: r.Species,
				Evidence: []conflict.Evidence{{Name: "count", Value: float64(r.Fish), Unit: "fish"}}})
		}
	}
	j.assumedLoad(add)
	return out
}

// assumedWater names the parameters without a reading, each judged at the best common
// point of every pairing.
func (j *Assessment) assumedWater(out []conflict.Statement) []conflict.Statement {
	for p := range species.Parameter(species.NumParameters) {
		if !j.Reading(p).Known {
			out = append(out, conflict.Statement{Code: AssumedWater, Words: []conflict.WordCode{ParameterWord[p]}})
		}
	}
	return out
}

// assumedLoad names what the load rests on.
func (j *Assessment) assumedLoad(add func(Code, ...conflict.Evidence)) {
	if j.Load == nil {
		return
	}
	add(AssumedFood, conflict.Evidence{Name: "protein", Value: foodProtein, Unit: "share"})
	if j.Load.TemperatureTaken {
		add(AssumedTemperature, conflict.Evidence{Name: "temperature", Value: j.Load.TemperatureC, Unit: "C"})
	}
	if j.Load.WaterL > 0 {
		add(AssumedNetVolume, conflict.Evidence{Name: "water", Value: j.Load.WaterL, Unit: "L"},
			conflict.Evidence{Name: "share", Value: netShare, Unit: "share"})
	}
	if j.Load.Nitrate != nil && j.Load.Nitrate.SourceTaken {
		add(AssumedSource)
	}
}
