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
func (j *judging) loadOf() *Load {
	l := &Load{WaterL: netShare * j.tank.Volume()}
	l.TemperatureC, l.TemperatureTaken = j.temperature()
	l.SalinityPPT = j.salinity()
	stock := make([]waterchem.Stock, len(j.lines))
	for i := range j.lines {
		stock[i] = waterchem.Stock{Count: min(j.lines[i].heads, 1e6), Mass: j.lines[i].mass}
		l.BodyMass = l.BodyMass.Plus(stock[i].Mass.Scale(float64(stock[i].Count)))
	}
	if l.biology(stock) != nil || l.filter() != nil {
		return nil
	}
	if l.WaterL > 0 && (l.nitrate(j.tank) != nil || l.oxygen() != nil || l.ammonia(j.tank) != nil) {
		return nil
	}
	return l
}

// temperature is the reading, else the middle of the preferred range of the line
// that likes it warmest: the demanding assumption, which an added line never eases.
func (j *judging) temperature() (celsius float64, taken bool) {
	if r := j.reading(species.Temperature); r.Known {
		return min(max(r.Value, 0), 40), false
	}
	celsius = math.Inf(-1)
	for i := range j.lines {
		if w := &j.lines[i].species.Water[species.Temperature]; w.Known() {
			celsius = max(celsius, (w.Preferred.Low+w.Preferred.High)/2)
		}
	}
	if math.IsInf(celsius, 0) {
		celsius = ordinaryTemperature
	}
	return min(max(celsius, 0), 40), true
}

// salinity is the reading, else the least salt that the saltiest line prefers.
func (j *judging) salinity() float64 {
	if r := j.reading(species.Salinity); r.Known {
		return min(max(r.Value, 0), 40)
	}
	salt := 0.0
	for i := range j.lines {
		if w := &j.lines[i].species.Water[species.Salinity]; w.Known() {
			salt = max(salt, w.Preferred.Low)
		}
	}
	return min(salt, 40)
}

// reading is a parameter's reading, unknown without a tank.
func (j *judging) reading(p species.Parameter) conflict.Reading {
	if j.tank == nil {
		return conflict.Reading{}
	}
	return j.tank.Reading[p]
}

// massOf is the body mass of one fish of the line in g, from its length and body form
// (Froese, Thorson & Reyes 2014, through package waterchem). Where no length is given
// the spread of the adult length is added.
func massOf(r *resident) waterchem.Estimate {
	length := min(max(r.profile.Length(), MinLengthCM), MaxLengthCM)
	form := waterchem.BodyForm(r.species.BodyForm)
	mass, err := waterchem.WeightFromForm(form, length)
	if err != nil {
		mass, _ = waterchem.WeightFromForm(waterchem.AnyForm, length)
	}
	if b, ok := r.band(species.Length); ok && r.LengthCM == 0 && b.Low > 0 {
		mass = mass.TimesIndependent(waterchem.Estimate{
			Low: math.Pow(b.Low/b.Typical, massExponent), Typical: 1, High: math.Pow(b.High/b.Typical, massExponent)})
	}
	clip := func(g float64) float64 { return min(max(g, 1e-3), 1e6) }
	return waterchem.Estimate{Low: clip(mass.Low), Typical: clip(mass.Typical), High: clip(mass.High)}
}
