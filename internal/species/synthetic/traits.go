package synthetic

import (
	"math"

	"commensal/internal/species"
)

// known makes a value.
func known(low, typical, high float64) species.Value {
	return species.Value{Band: species.Band{Low: low, Typical: typical, High: high}, Basis: species.Memory}
}

// around makes a value that reaches a share below and above the typical one.
func around(typical, share float64, decimals int) species.Value {
	return known(round(typical*(1-share), decimals), round(typical, decimals), round(typical*(1+share), decimals))
}

// traits draws all traits of a species.
func (g *generator) traits(s *species.Species, k *kind) {
	usual := g.genus(s.Genus(), k)
	length := usual.length * g.between(alike)
	t := &s.Traits
	t[species.Length] = around(length, 0.15, 1)
	t[species.DepthRatio] = around(g.between(k.depth), 0.1, 2)
	t[species.Gape] = around(g.between(k.gape), 0.2, 3)
	t[species.PreyLimit] = around(g.between(k.prey), 0.15, 2)
	t[species.Territory] = around(min(usual.ground*g.between(alike), length*2), 0.25, 0)
	group := math.Round(g.between(k.group))
	t[species.GroupMin] = known(max(1, math.Floor(group*0.7)), group, math.Ceil(group*1.5))
	if k.social == species.Solitary || k.social == species.Single {
		t[species.GroupMin] = known(1, 1, 1)
	}
	g.life(t, length)
	g.tank(t, length)
	g.grades(t, k)
	if k.sexed {
		g.sexes(s, k)
	}
}

// alike is how much the species of a genus differ in size.
var alike = span{0.8, 1.25}

// genus is the usual size of a genus, drawn with its first species.
func (g *generator) genus(name string, k *kind) sizes {
	usual, ok := g.genera[name]
	if !ok {
		usual = sizes{g.spread(k.length), g.between(k.ground)}
		g.genera[name] = usual
	}
	return usual
}

// cautions says aloud what the numbers mean.
func cautions(s *species.Species) {
	if s.Traits[species.Length].Typical >= 45 {
		s.Cautions = append(s.Cautions, species.Tankbuster)
	}
	if s.Traits[species.Lifespan].Typical < 1.2 {
		s.Cautions = append(s.Cautions, species.ShortLived)
	}
	if s.Water[species.Salinity].Preferred.Low > 0.9 {
		s.Cautions = append(s.Cautions, species.SaltOverTime)
	}
}

// life draws growth and age. Small fish grow up sooner, and a fish in care lives a
// few times as long as it takes to grow up.
func (g *generator) life(t *species.TraitSet, length float64) {
	k := 5 / math.Sqrt(length) * g.between(span{0.8, 1.25})
	years := 3 / k * g.between(span{1.2, 4})
	t[species.GrowthK] = around(k, 0.25, 2)
	t[species.Lifespan] = around(years, 0.25, 1)
	t[species.Maturity] = around(12*years*g.between(span{0.15, 0.22}), 0.25, 1)
}

// tank draws the customary tank: more lengths for small fish.
func (g *generator) tank(t *species.TraitSet, length float64) {
	side := max(45, 20*math.Pow(length, 0.7)*g.between(alike))
	t[species.TankLength] = around(side, 0.2, 0)
	t[species.TankWidth] = around(max(22, side*0.4), 0.2, 0)
}

func (g *generator) grades(t *species.TraitSet, k *kind) {
	for i := range species.Trait(species.NumTraits) {
		r, ok := k.grades[i]
		if !ok {
			r, ok = mild[i]
		}
		if ok {
			t[i] = grade(g.between(r))
		}
	}
}

// grade makes a graded value with the customary spread of a judgement.
func grade(x float64) species.Value {
	return known(round(max(0, x-0.1), 2), round(x, 2), round(min(1, x+0.1), 2))
}

// sexes makes males fiercer and, in this world, a little larger than females.
func (g *generator) sexes(s *species.Species, k *kind) {
	length := s.Traits[species.Length].Typical
	temper := s.Traits[species.AggressionOwn].Typical
	s.MaleTraits[species.Length] = around(length*1.1, 0.15, 1)
	s.FemaleTraits[species.Length] = around(length*0.9, 0.15, 1)
	s.MaleTraits[species.AggressionOwn] = grade(min(1, temper+0.1))
	s.FemaleTraits[species.AggressionOwn] = grade(max(0, temper-0.1))
	if k.social == species.Harem {
		s.Traits[species.FemalesPerMale] = known(1, 2, 3)
	}
}

// water gives the species one habitat, shifted a little in temperature.
func (g *generator) water(s *species.Species, h *habitat) {
	s.Water = *h
	shift := float64(g.IntN(3) - 1)
	w := &s.Water[species.Temperature]
	for _, x := range []*float64{&w.Tolerated.Low, &w.Tolerated.High, &w.Preferred.Low, &w.Preferred.High} {
		*x += shift
	}
}
