// Package links writes questions into addresses and reads them back: a pairing with its
// conditions as path and query, a list with its tank as one readable path segment, and
// a basket as people type it. Nothing is stored anywhere: the address is the question.
//
// A list looks like this:
//
//	6-paracheirodon-innesi+1-betta-splendens-male@60x30x36cm,25C
//
//	list  = lines [ "~" lines ] [ "@" tank ]   behind "~" stands what is about to join
//	lines = line { "+" line }
//	line  = [ count "-" ] name { "-" mark }    mark: male, female, 3.5cm, 4mo
//	tank  = item { "," item }                  item: 60x30x36cm, 54L, 25C, pH7, 8dH, 1ppt,
//	                                           cover0.5, lid, open, mature, new, planted,
//	                                           unplanted, sand, gravel, bare
//
// The written form is canonical: one list has one link, whatever the order it came in.
// It names no version, so an old link asks the same question of newer data.
//
// The package is pure. Names stay text here; whoever reads a link resolves them.
package links
