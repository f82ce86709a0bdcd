// Package synthetic makes catalogues of species that do not exist, for tests and
// benchmarks. The entries are plausible: verification finds nothing in them, and
// they come in the kinds that a real catalogue has, from shy shoalers to predators
// that eat them. Nothing here says anything about a real fish.
package synthetic
