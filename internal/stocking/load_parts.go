package stocking

import (
	"commensal/internal/species"
	"commensal/internal/waterchem"
)

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
