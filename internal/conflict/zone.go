package conflict

import (
	"math"

	"commensal/internal/species"
)

// Swimming zone: do they meet.
const (
	// zoneUncertainty is the error of a catalogued zone overlap, as a share.
	zoneUncertainty = 0.1
	// unknownMeeting is the overlap taken where zone use is not recorded; the extremes
	// then run from never to always.
	unknownMeeting = 0.7
)

// The statements about the swimming zone.
const (
	ZoneSame    Code = "zone.same"
	ZonePartly  Code = "zone.partly"
	ZoneApart   Code = "zone.apart"
	ZoneOwnKind Code = "zone.own_kind"
	ZoneUnknown Code = "zone.unknown"
)

// The words of the zones.
const (
	WordSurface   WordCode = "surface"
	WordMiddle    WordCode = "middle"
	WordBottom    WordCode = "bottom"
	WordAllLevels WordCode = "all_levels"
)

// zoneWeights are the fitted numbers of this factor.
var zoneWeights = []WeightSpec{
	{"zone_floor", "share of aggression and feeding that reaches across zones", 0.5, 0.1, 0.95, func(w *Weights) *float64 { return &w.ZoneFloor }},
}

// Schoener is Schoener's overlap of two sets of shares that each sum to 1:
// D = 1 − ½ Σ|p − q|, 0 for no overlap and 1 for identical use (Schoener 1970,
// Ecology 51:408-418).
func Schoener(p, q [species.NumZones]float64) float64 {
	return schoener(&p, &q)
}

func schoener(p, q *[species.NumZones]float64) float64 {
	sum := 0.0
	for z := range p {
		sum += math.Abs(p[z] - q[z])
	}
	if sum > 2 { // by a last digit
		return 0
	}
	return 1 - sum/2
}

// overlap is the zone overlap at one end of its uncertainty.
func overlap(p, q *[species.NumZones]float64, known bool, e end) float64 {
	if !known {
		return [numEnds]float64{0, unknownMeeting, 1}[e]
	}
	d := schoener(p, q)
	if e == typical {
		return d
	}
	if e == kinder {
		return max(0, d-zoneUncertainty)
	}
	return min(1, d+zoneUncertainty)
}

// meeting is the multiplier of harms that need the two to meet: 1 where they use
// the same levels, never below the floor that a chase across zones leaves.
func (m *Model) meeting(a, b *fish, e end) float64 {
	d := overlap(&a.zones, &b.zones, a.zonesKnown && b.zonesKnown, e)
	return m.w.ZoneFloor + (1-m.w.ZoneFloor)*d
}

// sharedTable is the overlap of the levels at which the two feed.
func (m *Model) sharedTable(a, b *fish, e end) float64 {
	return overlap(&a.feedAt, &b.feedAt, a.feedsSet && b.feedsSet, e)
}

// zone states whether the two meet.
func (x *explainer) zone() Statement {
	s := Statement{Actor: x.a.Species, Other: x.b.Species}
	if !x.a.zonesKnown || !x.b.zonesKnown {
		s.Code = ZoneUnknown
		return s
	}
	d := Schoener(x.a.zones, x.b.zones)
	s.Evidence = []Evidence{{"overlap", d, "share"}}
	s.Words = []WordCode{zoneWord(x.a.zones), zoneWord(x.b.zones)}
	switch {
	case x.sameKind():
		s.Code = ZoneOwnKind
	case d >= 0.6:
		s.Code = ZoneSame
	case d >= 0.3:
		s.Code = ZonePartly
	default:
		s.Code = ZoneApart
	}
	return s
}

func zoneWord(share [species.NumZones]float64) WordCode {
	best := species.Surface
	for z := range species.Zone(species.NumZones) {
		if share[z] > share[best] {
			best = z
		}
	}
	if share[best] < 0.5 {
		return WordAllLevels
	}
	return [species.NumZones]WordCode{WordSurface, WordMiddle, WordBottom}[best]
}
