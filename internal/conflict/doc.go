// Package conflict is the model: two species (or single fish) and, where known,
// the tank go in; an explained conflict score comes out.
//
// # How a score is made
//
// Every harm is first a hazard H ≥ 0 whose risk is r = 1 − e^(−H). Independent
// risks combine as noisy-OR (Pearl 1988), 1 − Π(1 − r), which on the hazard scale
// is a plain sum; the score is 100 × the combined risk of both directions and of
// what the two share (water, room). A modifier, such as meeting rarely or having
// much cover, multiplies hazards, so it can never push a risk out of [0,1].
//
// The share of each factor is its exact Shapley value (Shapley 1953) over the
// seven factors, a factor that is switched off being replaced by its neutral
// value; the shares sum to the score. A band comes from evaluating the same
// formulas at the favourable and the unfavourable ends of the trait bands, each
// term's direction being known.
//
// # What it guarantees
//
// The package is pure: no input or output, no clock, no randomness, no map
// iteration order. The same inputs give the same bytes. The invariants are
// property tests: symmetry, bounds, monotonicity in footprint, cover, water
// overlap, predator size and aggression, shares that add up, a band that holds
// the score.
//
// # What it may get wrong
//
// Individuals differ. The grades it reads rest on trade knowledge, the weights are
// fitted to about a hundred judgements written from trade memory, and the form
// of every term is a simplification. An answer is guidance, not a guarantee.
package conflict
