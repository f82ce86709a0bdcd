package verify

import (
	"math"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/entry"
)

// labelledTraits pairs a set of traits with its label in faults.
type labelledTraits struct {
	label string
	set   *species.TraitSet
}

func traitSets(s *species.Species) []labelledTraits {
	return []labelledTraits{{"trait", &s.Traits}, {"male", &s.MaleTraits}, {"female", &s.FemaleTraits}}
}

// traits checks each value on its own, and that the required ones are there.
func (e entryVerifier) traits() {
	for _, l := range traitSets(e.s) {
		for i, v := range l.set {
			t := species.Trait(i)
			field := l.label + " " + t.String()
			switch {
			case v.Known():
				e.value(field, t, v)
			case l.label == "trait" && t.Info().Required:
				e.fault(field, "missing")
			}
		}
	}
}

func (e entryVerifier) value(field string, t species.Trait, v species.Value) {
	info := t.Info()
	e.basis(field, v.Basis)
	if !inOrder(info.Min, v.Low, v.Typical, v.High, info.Max) {
		e.fault(field, "%s %s %s %s must not fall and must lie within %s and %s", entry.FormatNumber(v.Low), entry.FormatNumber(v.Typical),
			entry.FormatNumber(v.High), info.Unit, entry.FormatNumber(info.Min), entry.FormatNumber(info.Max))
	}
	if info.Unit == species.Fish && (v.Low != math.Trunc(v.Low) || v.Typical != math.Trunc(v.Typical) || v.High != math.Trunc(v.High)) {
		e.fault(field, "a head count is a whole number")
	}
}

// inOrder reports whether the numbers never fall. It is false when one is NaN.
func inOrder(x ...float64) bool {
	for i := 1; i < len(x); i++ {
		if !(x[i-1] <= x[i]) {
			return false
		}
	}
	return true
}

// sexes checks that values of one sex stand only where sexes can differ.
func (e entryVerifier) sexes() {
	for _, l := range traitSets(e.s)[1:] {
		for i, v := range l.set {
			if t := species.Trait(i); v.Known() && !t.Info().Sexed {
				e.fault(l.label+" "+t.String(), "males and females do not differ in this trait")
			}
		}
	}
}

// water checks the ranges of all parameters.
func (e entryVerifier) water() {
	for i, w := range e.s.Water {
		p := species.Parameter(i)
		field := "water " + p.String()
		if !w.Known() {
			e.fault(field, "missing")
			continue
		}
		e.basis(field, w.Basis)
		info := p.Info()
		if !inOrder(info.Min, w.Tolerated.Low, w.Preferred.Low, w.Preferred.High, w.Tolerated.High, info.Max) {
			e.fault(field, "preferred %s-%s must lie inside tolerated %s-%s, and that within %s and %s",
				entry.FormatNumber(w.Preferred.Low), entry.FormatNumber(w.Preferred.High), entry.FormatNumber(w.Tolerated.Low),
				entry.FormatNumber(w.Tolerated.High), entry.FormatNumber(info.Min), entry.FormatNumber(info.Max))
		}
	}
}

// zones checks that shares are shares.
func (e entryVerifier) zones() {
	if !e.s.Zones.Known() {
		e.fault("zones", "missing")
	} else {
		e.shares("zones", e.s.Zones)
	}
	if !e.s.FeedingZones.Known() {
		e.review("feeding_zones", "missing")
	} else {
		e.shares("feeding_zones", e.s.FeedingZones)
	}
}

func (e entryVerifier) shares(field string, z species.ZoneUse) {
	e.basis(field, z.Basis)
	sum := 0.0
	for _, share := range z.Share {
		if !inOrder(0, share, 1) {
			e.fault(field, "the share %s does not lie within 0 and 1", entry.FormatNumber(share))
		}
		sum += share
	}
	if !(math.Abs(sum-1) <= zoneTolerance) {
		e.fault(field, "the shares sum to %.6g, not 1", sum)
	}
}
