// Package outlier ranks the values of a catalogue by their distance from what the other traits, the form of
// the body, the guild, the family and the genus of an entry predict.
//
// For each trait a robust linear regression is fitted over all entries: Huber's weights (Huber 1964, Ann. Math.
// Stat. 35:73-101; Huber & Ronchetti 2009, Robust Statistics, 2nd ed., ch. 7) with a small ridge, on the
// logarithm of measures and on grades as they are. Each value is judged by its leave-one-out residual, which
// follows from the leverage; what is common to its genus and family is then taken off, again without the
// value itself. The distance is in robust standard deviations.
package outlier
