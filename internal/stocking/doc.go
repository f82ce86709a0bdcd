// Package stocking judges whole lists of fish and whole tanks: the decision at the
// till, what to leave out, how it will look as the fish grow, and what the water
// carries.
//
// Pairs are judged by package conflict; this package adds what only the list or the
// tank can show. It is pure: no input or output, no clock, no randomness; the same
// inputs give the same bytes, whatever the order of the list.
//
// What is decided about a list stands in rules_room.go, rules_water.go, rules_group.go
// and rules_sale.go, each rule once; the findings give it a code and values, and package
// wording makes sentences of them. Other packages stand on [Assessment], a list in a tank
// while it is judged: additions ranks what could join, groupings splits a list over tanks,
// placements finds homes, remedies finds what would help, meanings tries what an unclear
// name may mean. Whatever they claim is what [Judge] says of the resulting list. Packages
// graph and leaveout search, and know no fish.
//
// # Lines
//
// Lines of one species are merged, their counts added, when sex, length, age,
// disposition, keep, weight and incoming are all equal; otherwise they stay apart and
// are also judged against each other as own kind. For its group, its sexes and its
// ground a species counts over all its lines. The list is judged for life: a length is
// taken as given for who eats and presses whom, the tank as adults need it.
//
// # Conditions
//
// In a tank with dimensions every pairing also feels the ground that all other lines
// defend. Without dimensions each pairing is judged in its own customary tank, and what
// length and footprint decide is withheld and named. Where the volume alone is known its shape is
// taken as customary, and nothing is short of a guess that the roomiest shape of it would have.
//
// # The decision
//
// Hold for a finding that is a stop or a pairing above the wanted level (severe is
// never wanted); advise for a finding that is advice or a pairing of at least moderate
// level; else proceed. Some pairings count for less than their level, see [Assessment.LevelFor]:
// what is bought to be eaten or is perhaps, dwarf shrimps beside a small fish or two, and what
// the tank's own readings settle. A further line of another species never improves a pairing, a
// finding that counts, or the decision. Species-level answers stand beside every answer
// that a keeper's observed disposition moved.
//
// # What is to come
//
// Fish with a length or an age grow up: their length along a von Bertalanffy curve, their
// temper and ground in proportion to age until maturity. A pairing that is fine today
// and comes above the wanted level within twelve months is a stop, later than that
// advice; each names the month. Where a further line brings that about today, the pairing
// says so in the finding's place. Where nothing is known of size and age, fish are adult.
//
// # Speed
//
// What two lines do to each other is worked out once for a list and everything that is asked of it:
// the check, what to leave out, the split over tanks, the remedies ([JudgeReady] and Stock.Ready hand
// it on). Only room, cover and the ground that others defend are worked out for each tank that is tried.
//
// # What it may get wrong
//
// The limits of crowding, flow, cover, load and oxygen are common practice put into
// numbers; no source gives them. The load rests on relations with wide bands, and its
// findings look at the typical values only. An answer is guidance, not a guarantee.
package stocking
