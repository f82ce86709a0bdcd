// Package evidence weighs what keepers report of a pair against the model's score.
//
// The risk that a keeping of the pair ends in trouble is unknown; the model's score is
// its prior mean, worth [PriorWeight] reports, and every report moves it: the risk has a
// Beta distribution, whose mean and equal-tailed interval stand beside the score and
// never in its place. A report of trouble weighs one. A report of no trouble weighs as
// much as it has seen, [FullMonths] of it being one. What one organization reports of a
// pair weighs at most [MaxShare], so that nobody decides alone.
//
// Everything here is arithmetic: the same reports give the same numbers in any order.
package evidence
