package verify_test

import (
	"slices"
	"testing"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/cataloguetest"
	"commensal/internal/species/catalogue/verify"
)

// times changes a trait by a factor, as a wrong unit does.
func times(t species.Trait, factor float64) func(*species.Species) {
	return func(s *species.Species) {
		v := s.Traits[t]
		s.Traits[t] = cataloguetest.Value(v.Low*factor, v.Typical*factor, v.High*factor)
	}
}

// inPPM writes a hardness in ppm where °dH are meant.
func inPPM(s *species.Species) {
	w := &s.Water[species.Hardness]
	for _, x := range []*float64{&w.Tolerated.Low, &w.Preferred.Low, &w.Preferred.High, &w.Tolerated.High} {
		*x *= 17.85
	}
}

// What the checks are for: a slip in an entry of the real catalogue is noticed. The
// shares are below what they were when the checks were made; a check that is loosened
// too far, or a catalogue that grows too wide for it, falls short of them.
func TestVerifyNoticesSlipsInTheBuiltInCatalogue(t *testing.T) {
	list := cataloguetest.BuiltIn(t).Species
	for _, slip := range []struct {
		name  string
		make  func(*species.Species)
		least float64
	}{
		{"a length in inches", times(species.Length, 1/2.54), 0.6},
		{"a length converted twice", times(species.Length, 2.54), 0.35},
		{"a tank length in inches", times(species.TankLength, 1/2.54), 0.8},
		{"a tank width in inches", times(species.TankWidth, 1/2.54), 0.9},
		{"half the depth", times(species.DepthRatio, 0.5), 0.4},
		{"a lifespan in months", times(species.Lifespan, 12), 0.9},
		{"a quarter of the lifespan", times(species.Lifespan, 0.25), 0.8},
		{"maturity in years", times(species.Maturity, 1.0/12), 0.85},
		{"growth of another fish", times(species.GrowthK, 4), 0.8},
		{"a mouth of another fish", times(species.Gape, 3), 0.7},
		{"hardness in ppm", inPPM, 0.9},
	} {
		noticed, tried := 0, 0
		for _, s := range list {
			genus := slices.DeleteFunc(slices.Clone(list), func(o *species.Species) bool { return o.Genus() != s.Genus() })
			tried++
			if isNoticed(genus, slices.Index(genus, s), slip.make) {
				noticed++
			}
		}
		share := float64(noticed) / float64(tried)
		t.Logf("%s: noticed in %.0f %% of %d entries", slip.name, 100*share, tried)
		if share < slip.least {
			t.Errorf("%s: noticed in %.0f %%, want %.0f %%", slip.name, 100*share, 100*slip.least)
		}
	}
}

// isNoticed reports whether a change of one entry makes a problem of that entry, among
// its congeners.
func isNoticed(genus []*species.Species, i int, change func(*species.Species)) bool {
	before := verify.Catalogue(species.Catalogue{Species: genus})
	s := *genus[i]
	change(&s)
	changed := slices.Clone(genus)
	changed[i] = &s
	return slices.ContainsFunc(verify.Catalogue(species.Catalogue{Species: changed}), func(p verify.Problem) bool {
		return p.Species == s.ID && !slices.Contains(before, p)
	})
}
