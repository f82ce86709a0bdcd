package sheet

import "commensal/internal/species"

// value is one value of an entry that takes several columns of a sheet: its
// numbers, each with the unit in the header, and its basis.
type value struct {
	name  string // as in "male length"
	parts []string
	unit  string
	get   func(*species.Species) (numbers []float64, basis species.Basis)
	set   func(s *species.Species, numbers []float64, basis species.Basis)
	falls bool // the numbers may fall: they are shares, not ends of a range
}

// header is the header of one number.
func (v *value) header(part int) string {
	return v.name + " " + v.parts[part] + " [" + v.unit + "]"
}

func (v *value) basisHeader() string { return v.name + " basis" }

var (
	bandParts  = []string{"low", "typical", "high"}
	waterParts = []string{"tolerated low", "preferred low", "preferred high", "tolerated high"}
	zoneParts  = []string{"surface", "middle", "bottom"}
)

// values are all values, in the order of the columns.
var values = func() []*value {
	var out []*value
	add := func(prefix string, at func(*species.Species) *species.TraitSet) {
		for t := range species.Trait(species.NumTraits) {
			out = append(out, traitColumns(prefix, t, at))
		}
	}
	add("", func(s *species.Species) *species.TraitSet { return &s.Traits })
	add("male ", func(s *species.Species) *species.TraitSet { return &s.MaleTraits })
	add("female ", func(s *species.Species) *species.TraitSet { return &s.FemaleTraits })
	for p := range species.Parameter(species.NumParameters) {
		out = append(out, waterColumns(p))
	}
	return append(out,
		zoneColumns("zones", func(s *species.Species) *species.ZoneUse { return &s.Zones }),
		zoneColumns("feeding_zones", func(s *species.Species) *species.ZoneUse { return &s.FeedingZones }))
}()

func traitColumns(prefix string, t species.Trait, at func(*species.Species) *species.TraitSet) *value {
	return &value{
		name: prefix + t.String(), parts: bandParts, unit: string(t.Info().Unit),
		get: func(s *species.Species) ([]float64, species.Basis) {
			v := at(s)[t]
			return []float64{v.Low, v.Typical, v.High}, v.Basis
		},
		set: func(s *species.Species, x []float64, basis species.Basis) {
			at(s)[t] = species.Value{Band: species.Band{Low: x[0], Typical: x[1], High: x[2]}, Basis: basis}
		},
	}
}

func waterColumns(p species.Parameter) *value {
	return &value{
		name: p.String(), parts: waterParts, unit: p.Info().Unit,
		get: func(s *species.Species) ([]float64, species.Basis) {
			w := s.Water[p]
			return []float64{w.Tolerated.Low, w.Preferred.Low, w.Preferred.High, w.Tolerated.High}, w.Basis
		},
		set: func(s *species.Species, x []float64, basis species.Basis) {
			s.Water[p] = species.WaterRange{
				Tolerated: species.Range{Low: x[0], High: x[3]}, Preferred: species.Range{Low: x[1], High: x[2]}, Basis: basis,
			}
		},
	}
}

func zoneColumns(name string, at func(*species.Species) *species.ZoneUse) *value {
	return &value{
		name: name, parts: zoneParts, unit: string(species.ShareOf), falls: true,
		get: func(s *species.Species) ([]float64, species.Basis) { return at(s).Share[:], at(s).Basis },
		set: func(s *species.Species, x []float64, basis species.Basis) {
			*at(s) = species.ZoneUse{Share: [species.NumZones]float64(x), Basis: basis}
		},
	}
}
