package stocking

import "commensal/internal/waterchem"

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
