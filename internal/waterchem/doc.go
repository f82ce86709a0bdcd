// Package waterchem holds published relations for the water of a tank and the fish
// in it: how much oxygen water can carry, how much of the ammonia is poisonous, what
// feed leaves behind as nitrate, what a fish of a given length weighs, how it grows,
// how much it breathes and eats, and how heavy the whole thing is.
//
// # What it guarantees
//
// The package is pure: it depends on the standard library only, reads and opens
// nothing, keeps no state, and the same arguments give the same result. Every
// function names the source of its formula, its units, the range it accepts and the
// direction in which its result moves. Bad input never panics: NaN, infinities and
// values outside the accepted range come back as a [*DomainError] naming the
// quantity and the range; a length that a growth curve never reaches comes back as a
// [*NotReachedError]. Where the spread of a published prior or measurement matters
// the result is an [Estimate], low to high, instead of a single number.
//
// # Units
//
// Temperatures are in °C, salinity in PSU (close enough to g/L or ppt here), lengths
// of fish and tanks in cm, fish and feed in g, water in L, concentrations in mg/L,
// air pressure in kPa, time in days for feed and years for growth.
//
// # What it may get wrong
//
// The chemistry of clean water (oxygen, ammonia, density) is known to a percent or
// better. The biology is not: a species can breathe half or twice what the line
// through all species says, a body-form prior leaves a factor of two or more in
// weight, and how much keepers feed is habit, not science. Plants, algae,
// denitrification, decaying food and top-up water are left out; so is what air
// breathers take at the surface, and so are sickness and fasting. The results bound
// and order; they do not measure. Where a number could reassure wrongly, such as
// floor load, the package gives the number only, and the caller must add the caution.
package waterchem
