package testfish

import (
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

func Known(low, typical, high float64) species.Value {
	return species.Value{Band: species.Band{Low: low, Typical: typical, High: high}, Basis: species.Memory}
}

func Exactly(v float64) species.Value { return Known(v, v, v) }

// PlainFish is a peaceful fish of 5 cm that asks for nothing: every trait is known, and
// each test changes only what it is about.
func PlainFish(name string) *species.Species {
	sp := &species.Species{
		ID: species.ID(name), ScientificName: name + " testus", Family: "Testidae",
		Names:    []species.Name{{Language: "en", Text: name}},
		BodyForm: species.Fusiform, Guild: species.Omnivore, Social: species.Single, Shape: "torpedo",
		SexedTrade: true, Basis: species.Memory,
		Zones:        species.ZoneUse{Share: [3]float64{0.2, 0.6, 0.2}, Basis: species.Memory},
		FeedingZones: species.ZoneUse{Share: [3]float64{0.2, 0.6, 0.2}, Basis: species.Memory},
	}
	for t, v := range map[species.Trait]species.Value{
		species.Length: Known(4, 5, 6), species.DepthRatio: Exactly(0.25), species.GrowthK: Known(1.5, 2, 2.5),
		species.Lifespan: Known(3, 4, 5), species.Maturity: Known(6, 8, 10), species.Gape: Exactly(0.05),
		species.PreyLimit: Exactly(0.1), species.Piscivory: Exactly(0), species.AggressionOthers: Exactly(0),
		species.AggressionOwn: Exactly(0), species.AggressionAlike: Exactly(0), species.Territory: Exactly(0),
		species.FinNipping: Exactly(0), species.Timidity: Exactly(0.2), species.LongFins: Exactly(0),
		species.Slowness: Exactly(0.2), species.Armour: Exactly(0), species.GroupMin: Exactly(1),
		species.BroodGuarding: Exactly(0), species.TankLength: Known(50, 60, 70), species.TankWidth: Known(25, 30, 35),
		species.Activity: Exactly(0.4), species.Digging: Exactly(0), species.PlantEating: Exactly(0),
		species.Jumping: Exactly(0.1), species.FeedingPace: Exactly(0.5), species.AnimalFood: Exactly(0.5),
		species.Flow: Known(0.2, 0.3, 0.5),
	} {
		sp.Traits[t] = v
	}
	for p, r := range [...][4]float64{{20, 23, 27, 30}, {5, 6, 8, 9}, {1, 4, 16, 20}, {0, 0, 1, 3}} {
		sp.Water[p] = species.WaterRange{
			Tolerated: species.Range{Low: r[0], High: r[3]}, Preferred: species.Range{Low: r[1], High: r[2]}, Basis: species.Memory,
		}
	}
	return sp
}

// Altered is a plain fish with something changed.
func Altered(name string, change func(*species.Species)) *species.Species {
	sp := PlainFish(name)
	change(sp)
	return sp
}

// WorldOf is a book of these species alone, under the starting weights; they are in
// order of name.
func WorldOf(t testing.TB, list ...*species.Species) *conflict.Book {
	t.Helper()
	snap, err := species.NewSnapshot(1, species.Catalogue{Species: list})
	if err != nil {
		t.Fatal(err)
	}
	m, err := conflict.New(conflict.StartingWeights())
	if err != nil {
		t.Fatal(err)
	}
	return conflict.NewBook(m, snap)
}

func Trait(t species.Trait, v float64) func(*species.Species) {
	return func(sp *species.Species) { sp.Traits[t] = Exactly(v) }
}

// Big is a fish in armour that takes much ground and troubles nobody.
func Big(name string, ground float64) *species.Species {
	return Altered(name, func(sp *species.Species) {
		sp.Traits[species.Territory], sp.Traits[species.Armour] = Exactly(ground), Exactly(1)
	})
}

// CrowdingWorld is a book of a bully, its victim, a quiet fish and one so vast that its ground makes the
// bully turn on the victim, in that order.
func CrowdingWorld(t testing.TB) *conflict.Book {
	bully := Altered("a bully", func(sp *species.Species) {
		sp.Traits[species.AggressionOthers], sp.Traits[species.Territory] = Exactly(0.8), Exactly(20)
	})
	return WorldOf(t, bully, PlainFish("b victim"), Big("c quiet", 45), Big("d vast", 85))
}
