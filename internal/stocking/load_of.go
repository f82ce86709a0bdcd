package stocking

import (
	"math"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/waterchem"
)

// What the load takes for granted. Common practice, no source, unless a line says
// otherwise; each is named in Check.Assumed.
const (
	// netShare is the share of the full inside volume that is water: ground, rock,
	// wood and the free height take the rest.
	netShare = 0.85
	// foodProtein is the protein of ordinary dry food as printed on its tin.
	foodProtein = 0.45
	// ordinaryTemperature in °C stands in where neither a reading nor any preferred
	// range is known.
	ordinaryTemperature = 25.0
	// NitrateCeiling is the nitrate in mg/L NO3 that home tanks are customarily
	// held under.
	NitrateCeiling = 40.0

	daysPerWeek  = 7
	hoursPerDay  = 24
	mgPerGram    = 1000
	massExponent = 3 // of mass over length, for the spread of the adult length
)

// loadOf computes the load; nil where no fish or no valid temperature leaves nothing to
// say. Relations out of their published range give up the whole load rather than a
// part that could mislead.
func (j *Assessment) loadOf() *Load {
	l := &Load{WaterL: netShare * j.Tank.Volume()}
	l.TemperatureC, l.TemperatureTaken = j.temperature()
	l.SalinityPPT = j.salinity()
	stock := make([]waterchem.Stock, len(j.Lines))
	for i := range j.Lines {
		stock[i] = waterchem.Stock{Count: min(j.Lines[i].Fish, 1e6), Mass: j.Lines[i].Mass}
		l.BodyMass = l.BodyMass.Plus(stock[i].Mass.Scale(float64(stock[i].Count)))
	}
	if l.biology(stock) != nil || l.filter() != nil {
		return nil
	}
	if l.WaterL > 0 && (l.nitrate(j.Tank) != nil || l.oxygen() != nil || l.ammonia(j.Tank) != nil) {
		return nil
	}
	return l
}

// temperature is the reading, else the middle of the preferred range of the line
// that likes it warmest: the demanding assumption, which an added line never eases.
func (j *Assessment) temperature() (celsius float64, taken bool) {
	if r := j.Reading(species.Temperature); r.Known {
		return min(max(r.Value, 0), 40), false
	}
	celsius = math.Inf(-1)
	for i := range j.Lines {
		if w := &j.Lines[i].Species.Water[species.Temperature]; w.Known() {
			celsius = max(celsius, (w.Preferred.Low+w.Preferred.High)/2)
		}
	}
	if math.IsInf(celsius, 0) {
		celsius = ordinaryTemperature
	}
	return min(max(celsius, 0), 40), true
}

// salinity is the reading, else the least salt that the saltiest line prefers.
func (j *Assessment) salinity() float64 {
	if r := j.Reading(species.Salinity); r.Known {
		return min(max(r.Value, 0), 40)
	}
	salt := 0.0
	for i := range j.Lines {
		if w := &j.Lines[i].Species.Water[species.Salinity]; w.Known() {
			salt = max(salt, w.Preferred.Low)
		}
	}
	return min(salt, 40)
}

// Reading is a parameter's reading, unknown without a tank.
func (j *Assessment) Reading(p species.Parameter) conflict.Reading {
	if j.Tank == nil {
		return conflict.Reading{}
	}
	return j.Tank.Reading[p]
}

// MassOf is the body mass of one fish of the line in g, from its length and body form
// (Froese, Thorson & Reyes 2014, through package waterchem). Where no length is given
// the spread of the adult length is added.
func MassOf(r *Resident) waterchem.Estimate {
	length := min(max(r.Profile.Length(), MinLengthCM), MaxLengthCM)
	form := waterchem.BodyForm(r.Species.BodyForm)
	mass, err := waterchem.WeightFromForm(form, length)
	if err != nil {
		mass, _ = waterchem.WeightFromForm(waterchem.AnyForm, length)
	}
	if b, ok := r.Band(species.Length); ok && r.LengthCM == 0 && b.Low > 0 {
		mass = mass.TimesIndependent(waterchem.Estimate{
			Low: math.Pow(b.Low/b.Typical, massExponent), Typical: 1, High: math.Pow(b.High/b.Typical, massExponent)})
	}
	clip := func(g float64) float64 { return min(max(g, 1e-3), 1e6) }
	return waterchem.Estimate{Low: clip(mass.Low), Typical: clip(mass.Typical), High: clip(mass.High)}
}
