package conflict

import (
	"fmt"
	"testing"

	"commensal/internal/species"

	"pgregory.net/rapid"
)

// testModel is the model with its starting weights, so that laws are tested on the
// form and not on one fit.
func testModel(t testing.TB) *Model {
	t.Helper()
	m, err := New(StartingWeights())
	if err != nil {
		t.Fatal(err)
	}
	return m
}

// band draws a legal band of the trait between low and high.
func band(t *rapid.T, label string, low, high float64) species.Value {
	a := rapid.Float64Range(low, high).Draw(t, label+".a")
	b := rapid.Float64Range(low, high).Draw(t, label+".b")
	c := rapid.Float64Range(low, high).Draw(t, label+".c")
	v := species.Value{Basis: species.Memory}
	v.Low, v.High = min(a, b, c), max(a, b, c)
	v.Typical = a + b + c - v.Low - v.High
	v.Typical = min(max(v.Typical, v.Low), v.High)
	return v
}

var drawRange = map[species.Trait][2]float64{
	species.Length: {1, 120}, species.DepthRatio: {0.05, 1}, species.Gape: {0.02, 0.3}, species.PreyLimit: {0.05, 0.6},
	species.Territory: {0, 120}, species.GroupMin: {1, 10}, species.TankLength: {40, 300}, species.TankWidth: {30, 100},
}

// drawSpecies draws an arbitrary legal species; about one trait in twelve is missing.
func drawSpecies(t *rapid.T, name string) *species.Species {
	sp := &species.Species{
		ID: species.ID(name), ScientificName: "Genus " + name, Family: "Testidae",
		Names: []species.Name{{Language: "en", Text: "Fish " + name}},
		BodyForm: rapid.SampledFrom([]species.BodyForm{species.Fusiform, species.Fusiform, species.ShrimpForm, species.CrayfishForm,
			species.CrabForm, species.SnailForm, species.ClamForm}).Draw(t, name+".form"),
		Guild:  rapid.SampledFrom([]species.Guild{species.Omnivore, species.Molluscivore, species.FilterFeeder}).Draw(t, name+".guild"),
		Basis:  species.Memory,
		Social: rapid.SampledFrom([]species.Social{species.Solitary, species.Single, species.Pair, species.Harem, species.Group, species.Colony}).Draw(t, name+".social"),
		Shape:  rapid.SampledFrom([]string{"cichlid", "torpedo"}).Draw(t, name+".shape"),
	}
	for _, tr := range scored {
		if rapid.IntRange(0, 11).Draw(t, name+tr.String()+".missing") == 0 {
			continue
		}
		r, ok := drawRange[tr]
		if !ok {
			r = [2]float64{0, 1}
		}
		sp.Traits[tr] = band(t, name+tr.String(), r[0], r[1])
		if tr.Info().Sexed && rapid.IntRange(0, 3).Draw(t, name+tr.String()+".sexed") == 0 {
			sp.MaleTraits[tr] = band(t, name+tr.String()+".m", r[0], r[1])
		}
	}
	if sp.BodyForm.Crustacean() {
		sp.Traits[species.Claws] = band(t, name+".claws", 0, 1)
	}
	for p, r := range [species.NumParameters][2]float64{species.Temperature: {10, 32}, species.PH: {4, 9}, species.Hardness: {0, 30}, species.Salinity: {0, 20}} {
		sp.Water[p] = drawWater(t, name+species.Parameter(p).String(), r[0], r[1])
	}
	sp.Zones = drawZones(t, name+".zones")
	sp.FeedingZones = drawZones(t, name+".feeding")
	return sp
}

func drawWater(t *rapid.T, label string, low, high float64) species.WaterRange {
	var x [4]float64
	for i := range x {
		x[i] = rapid.Float64Range(low, high).Draw(t, fmt.Sprint(label, i))
	}
	tol := species.Range{Low: min(x[0], x[1], x[2], x[3]), High: max(x[0], x[1], x[2], x[3])}
	a := min(max(x[2], tol.Low), tol.High)
	b := min(max(x[3], tol.Low), tol.High)
	return species.WaterRange{Tolerated: tol, Preferred: species.Range{Low: min(a, b), High: max(a, b)}, Basis: species.Memory}
}

func drawZones(t *rapid.T, label string) species.ZoneUse {
	s := rapid.Float64Range(0, 1).Draw(t, label+".s")
	m := rapid.Float64Range(0, 1-s).Draw(t, label+".m")
	return species.ZoneUse{Share: [3]float64{s, m, 1 - s - m}, Basis: species.Memory}
}

// drawTank draws nothing or a legal tank.
func drawTank(t *rapid.T) *Tank {
	if rapid.Bool().Draw(t, "no tank") {
		return nil
	}
	tank := &Tank{
		LengthCM: rapid.Float64Range(20, 400).Draw(t, "length"), WidthCM: rapid.Float64Range(15, 150).Draw(t, "width"),
		HeightCM: rapid.Float64Range(15, 100).Draw(t, "height"),
		Cover:    rapid.Float64Range(0, 1).Draw(t, "cover"), CoverKnown: true,
	}
	if rapid.Bool().Draw(t, "reading") {
		tank.Reading[species.Temperature] = Reading{rapid.Float64Range(10, 34).Draw(t, "temperature"), true}
		tank.Reading[species.PH] = Reading{rapid.Float64Range(4, 9.5).Draw(t, "pH"), true}
	}
	return tank
}
