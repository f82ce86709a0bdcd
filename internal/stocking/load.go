package stocking

import (
	"math"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/waterchem"
)

// Load is what the stock puts into the water and takes out of it, each figure with its
// band. It never says how full a tank is: that is no single number.
type Load struct {
	TemperatureC     float64
	TemperatureTaken bool    // no reading: the warmest preference on the list was taken
	SalinityPPT      float64 // the reading, else the saltiest preference on the list
	WaterL           float64 // water taken to be in the tank, L; 0 when no volume is known

	BodyMass waterchem.Estimate // g, all fish together
	Feed     waterchem.Estimate // g dry food a day
	TAN      waterchem.Estimate // g nitrogen a day given off as ammonia and ammonium

	NitrificationOxygen     waterchem.Estimate // g O2 a day
	NitrificationAlkalinity waterchem.Estimate // g CaCO3 a day

	FishOxygen waterchem.Estimate // mg O2 an hour
	Saturation float64            // mg/L O2 in balance with air

	Nitrate *NitrateLoad // nil without a volume
	Oxygen  *OxygenStock // nil without a volume
	Ammonia *AmmoniaLoad // nil unless the filter is known to be immature
}

// NitrateLoad is the nitrate of the tank under weekly water changes, in mg/L NO3.
type NitrateLoad struct {
	WeeklyRise  waterchem.Estimate
	Source      float64 // in the new water
	SourceTaken bool    // not given: taken as free of nitrate
	// Before and After are the settled values just before and just after the weekly
	// change, and ChangesToSettle the changes until 95 % of the way there; set when
	// Change, the share changed weekly, is given.
	Change          *float64
	Before, After   waterchem.Estimate
	ChangesToSettle int
	// ShareToHold is the share to change weekly so that nitrate stays at or below
	// [NitrateCeiling]; an end of 1 with Holds false cannot be held by one change a week.
	ShareToHold waterchem.Estimate
	Holds       [3]bool // low, typical, high
}

// OxygenStock is how long the oxygen dissolved in the tank lasts if nothing is
// resupplied: the honest figure where surface, flow and plants are not known.
type OxygenStock struct {
	Dissolved float64            // mg in the whole tank at saturation
	Demand    waterchem.Estimate // mg an hour, fish and filter
	Hours     waterchem.Estimate // until it is used up
	// AfterHour is what is left after one hour, in per cent of Dissolved.
	AfterHour waterchem.Estimate
}

// AmmoniaLoad is the ammonia that builds up while the filter cannot yet turn it over.
type AmmoniaLoad struct {
	DailyRise waterchem.Estimate // mg/L total ammonia nitrogen
	// Fraction is the share that is un-ionized at the tank's pH and temperature, and
	// Unionized that part after a day in mg/L nitrogen; both 0 with PHKnown false.
	PHKnown   bool
	Fraction  float64
	Unionized waterchem.Estimate
}

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
	if !j.biologyOf(l) {
		return nil
	}
	if l.WaterL > 0 && (l.nitrate(j.Tank) != nil || l.oxygen() != nil || l.ammonia(j.Tank) != nil) {
		return nil
	}
	return l
}

// biology is the part of a load that depends on no more of the tank than warmth and salt.
type biology struct {
	load Load
	ok   bool
}

// biologyOf fills in what the fish and the filter do to the water; false where nothing can be
// said. It is kept for the same lines in water as warm and as salty.
func (j *Assessment) biologyOf(l *Load) bool {
	if j.bio == nil || j.bio.load.TemperatureC != l.TemperatureC || j.bio.load.SalinityPPT != l.SalinityPPT {
		bio := &biology{load: Load{TemperatureC: l.TemperatureC, SalinityPPT: l.SalinityPPT}}
		bio.ok = bio.load.ofLines(j.Lines)
		j.bio = bio
	}
	water, taken := l.WaterL, l.TemperatureTaken
	*l = j.bio.load
	l.WaterL, l.TemperatureTaken = water, taken
	return j.bio.ok
}

// ofLines adds up the lines; false where a relation is out of its range.
func (l *Load) ofLines(lines []Resident) bool {
	stock := make([]waterchem.Stock, len(lines))
	for i := range lines {
		stock[i] = waterchem.Stock{Count: min(lines[i].Fish, 1e6), Mass: lines[i].Mass, Metabolic: lines[i].metabolic}
		l.BodyMass = l.BodyMass.Plus(stock[i].Mass.Scale(float64(stock[i].Count)))
	}
	return l.biology(stock) == nil && l.filter() == nil
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

// masses remembers the masses of kinds of which no length was told.
type masses struct {
	snapshot *species.Snapshot
	known    [128]struct {
		index           int // from 1
		sex             species.Sex
		mass, metabolic waterchem.Estimate
	}
}

// weigh fills in the mass of one fish of a line, and what metabolism goes by.
func (m *masses) weigh(snapshot *species.Snapshot, r *Resident) {
	if m == nil || r.LengthCM > 0 {
		r.Mass = MassOf(r)
		r.metabolic = waterchem.Metabolic(r.Mass)
		return
	}
	if m.snapshot != snapshot {
		*m = masses{snapshot: snapshot}
	}
	k := &m.known[(r.Index*numSexes+int(r.Sex))%len(m.known)]
	if k.index != r.Index+1 || k.sex != r.Sex {
		k.index, k.sex, k.mass = r.Index+1, r.Sex, MassOf(r)
		k.metabolic = waterchem.Metabolic(k.mass)
	}
	r.Mass, r.metabolic = k.mass, k.metabolic
}

// numSexes is how many there are, untold among them.
const numSexes = int(species.Female) + 1

// biology is what the fish eat, give off and breathe.
func (l *Load) biology(stock []waterchem.Stock) (err error) {
	if l.Feed, err = waterchem.StockRation(l.TemperatureC, stock); err != nil {
		return err
	}
	l.Feed = atMost(l.Feed, maxFeed)
	if l.TAN, err = waterchem.TANFromFeedBand(l.Feed, foodProtein); err != nil {
		return err
	}
	if l.FishOxygen, err = waterchem.OxygenDemand(l.TemperatureC, stock); err != nil {
		return err
	}
	l.Saturation, err = waterchem.OxygenSaturation(l.TemperatureC, l.SalinityPPT)
	return err
}

// filter is what nitrifying bacteria use for that much ammonia: the low end with
// their own growth, the high end the bare reaction.
func (l *Load) filter() error {
	low, err := waterchem.NitrificationOxygen(l.TAN.Low)
	if err != nil {
		return err
	}
	typical, err := waterchem.NitrificationOxygen(l.TAN.Typical)
	if err != nil {
		return err
	}
	high, err := waterchem.NitrificationOxygen(l.TAN.High)
	if err != nil {
		return err
	}
	l.NitrificationOxygen = waterchem.Estimate{Low: low.Low, Typical: typical.Typical, High: high.High}
	return l.alkalinity()
}

func (l *Load) alkalinity() (err error) {
	a := &l.NitrificationAlkalinity
	if a.Low, err = waterchem.NitrificationWithGrowth().AlkalinityUsed(l.TAN.Low); err != nil {
		return err
	}
	if a.Typical, err = waterchem.NitrificationWithGrowth().AlkalinityUsed(l.TAN.Typical); err != nil {
		return err
	}
	a.High, err = waterchem.CompleteNitrification().AlkalinityUsed(l.TAN.High)
	return err
}

// nitrate is where weekly water changes let nitrate settle.
func (l *Load) nitrate(tank *Tank) (err error) {
	n := &NitrateLoad{SourceTaken: tank.SourceNitrate == nil, Change: tank.WeeklyChange}
	if !n.SourceTaken {
		n.Source = *tank.SourceNitrate
	}
	n.WeeklyRise, err = each(l.TAN, func(tan float64) (float64, error) {
		return waterchem.NitrateRise(tan, daysPerWeek, l.WaterL)
	})
	if err != nil {
		return err
	}
	n.WeeklyRise = atMost(n.WeeklyRise, maxRise)
	n.hold()
	if n.Change != nil && *n.Change > 0 {
		err = n.settle(*n.Change)
	}
	l.Nitrate = n
	return err
}

// hold finds the share to change weekly at each end of the rise; where one change a week
// cannot hold the ceiling the share is 1 and Holds says so.
func (n *NitrateLoad) hold() {
	shares := [3]float64{1, 1, 1}
	for i, rise := range [3]float64{n.WeeklyRise.Low, n.WeeklyRise.Typical, n.WeeklyRise.High} {
		share, err := waterchem.ShareForPeak(rise, n.Source, NitrateCeiling)
		if n.Holds[i] = err == nil; err == nil {
			shares[i] = share
		}
	}
	n.ShareToHold = waterchem.Estimate{Low: shares[0], Typical: shares[1], High: shares[2]}
}

func (n *NitrateLoad) settle(share float64) (err error) {
	share = max(share, 1e-6)
	if n.ChangesToSettle, err = waterchem.ChangesToSettle(share); err != nil {
		return err
	}
	plan := func(rise float64) waterchem.WaterChanges {
		return waterchem.WaterChanges{Rise: rise, Share: share, Source: n.Source}
	}
	n.Before, err = each(n.WeeklyRise, func(r float64) (float64, error) { return plan(r).Peak() })
	if err != nil {
		return err
	}
	n.After, err = each(n.WeeklyRise, func(r float64) (float64, error) { return plan(r).Trough() })
	return err
}

// oxygen is how long the dissolved oxygen would last without any supply.
func (l *Load) oxygen() error {
	o := &OxygenStock{Dissolved: l.Saturation * l.WaterL}
	o.Demand = l.FishOxygen.Plus(l.NitrificationOxygen.Scale(mgPerGram / float64(hoursPerDay)))
	if o.Demand.Low > 0 {
		o.Hours = o.Demand.Inverse().Scale(o.Dissolved)
	}
	left := func(demand float64) float64 { return max(0, 100*(1-demand/o.Dissolved)) }
	o.AfterHour = waterchem.Estimate{Low: left(o.Demand.High), Typical: left(o.Demand.Typical), High: left(o.Demand.Low)}
	l.Oxygen = o
	return nil
}

// ammonia is what builds up in a day while a filter is known not to be mature.
func (l *Load) ammonia(tank *Tank) (err error) {
	if tank.FilterMature == nil || *tank.FilterMature {
		return nil
	}
	a := &AmmoniaLoad{DailyRise: l.TAN.Scale(mgPerGram / l.WaterL)}
	if ph := tank.Reading[species.PH]; ph.Known {
		a.PHKnown = true
		if a.Fraction, err = unionized(ph.Value, l.TemperatureC, l.SalinityPPT); err != nil {
			return err
		}
		a.Unionized = a.DailyRise.Scale(a.Fraction)
	}
	l.Ammonia = a
	return nil
}

// brackishFrom is the salinity in ppt from which the sea-water relation is used.
const brackishFrom = 1.0

func unionized(ph, celsius, salt float64) (float64, error) {
	if salt >= brackishFrom {
		return waterchem.UnionizedFractionSea(ph, celsius, salt)
	}
	return waterchem.UnionizedFraction(ph, celsius)
}

// The greatest feed in g/d and weekly rise in mg/L that package waterchem works with:
// an absurd list is held there, so that it never looks lighter than a lesser one.
const (
	maxFeed = 1e6
	maxRise = 1e5
)

func atMost(e waterchem.Estimate, most float64) waterchem.Estimate {
	return waterchem.Estimate{Low: min(e.Low, most), Typical: min(e.Typical, most), High: min(e.High, most)}
}

// each applies a rising relation to the three values of an estimate.
func each(e waterchem.Estimate, f func(float64) (float64, error)) (out waterchem.Estimate, err error) {
	if out.Low, err = f(e.Low); err != nil {
		return out, err
	}
	if out.Typical, err = f(e.Typical); err != nil {
		return out, err
	}
	out.High, err = f(e.High)
	return out, err
}
