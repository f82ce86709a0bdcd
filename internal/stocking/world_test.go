package stocking

import (
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
)

func known(low, typical, high float64) species.Value {
	return species.Value{Band: species.Band{Low: low, Typical: typical, High: high}, Basis: species.Memory}
}

func exactly(v float64) species.Value { return known(v, v, v) }

// plainFish is a peaceful fish of 5 cm that asks for nothing: every trait is known, and
// each test changes only what it is about.
func plainFish(name string) *species.Species {
	sp := &species.Species{
		ID: species.ID(name), ScientificName: name + " testus", Family: "Testidae",
		Names:    []species.Name{{Language: "en", Text: name}},
		BodyForm: species.Fusiform, Guild: species.Omnivore, Social: species.Single, Shape: "torpedo",
		SexedTrade: true, Basis: species.Memory,
		Zones:        species.ZoneUse{Share: [3]float64{0.2, 0.6, 0.2}, Basis: species.Memory},
		FeedingZones: species.ZoneUse{Share: [3]float64{0.2, 0.6, 0.2}, Basis: species.Memory},
	}
	for t, v := range map[species.Trait]species.Value{
		species.Length: known(4, 5, 6), species.DepthRatio: exactly(0.25), species.GrowthK: known(1.5, 2, 2.5),
		species.Lifespan: known(3, 4, 5), species.Maturity: known(6, 8, 10), species.Gape: exactly(0.05),
		species.PreyLimit: exactly(0.1), species.Piscivory: exactly(0), species.AggressionOthers: exactly(0),
		species.AggressionOwn: exactly(0), species.AggressionAlike: exactly(0), species.Territory: exactly(0),
		species.FinNipping: exactly(0), species.Timidity: exactly(0.2), species.LongFins: exactly(0),
		species.Slowness: exactly(0.2), species.Armour: exactly(0), species.GroupMin: exactly(1),
		species.BroodGuarding: exactly(0), species.TankLength: known(50, 60, 70), species.TankWidth: known(25, 30, 35),
		species.Activity: exactly(0.4), species.Digging: exactly(0), species.PlantEating: exactly(0),
		species.Jumping: exactly(0.1), species.FeedingPace: exactly(0.5), species.AnimalFood: exactly(0.5),
		species.Flow: known(0.2, 0.3, 0.5),
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

// altered is a plain fish with something changed.
func altered(name string, change func(*species.Species)) *species.Species {
	sp := plainFish(name)
	change(sp)
	return sp
}

// worldOf is a book of these species alone, under the starting weights; they are in
// order of name.
func worldOf(t testing.TB, list ...*species.Species) *conflict.Book {
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

// goodTank is a tank of 120 × 50 × 50 cm in which a plain fish has no complaint.
func goodTank() *Tank {
	yes, no, change, source := true, false, 0.25, 0.0
	t := &Tank{
		Tank:            conflict.Tank{LengthCM: 120, WidthCM: 50, HeightCM: 50, Cover: 0.6, CoverKnown: true},
		TurnoverPerHour: 4, WeeklyChange: &change, Lid: &yes, FilterMature: &yes, Planted: &no,
		Substrate: "sand", SourceNitrate: &source,
	}
	for p, v := range [...]float64{25, 7, 8, 0.5} {
		t.Reading[p] = conflict.Reading{Value: v, Known: true}
	}
	return t
}

func mustJudge(t testing.TB, b *conflict.Book, s Stock) Check {
	t.Helper()
	c, err := Judge(b, s)
	if err != nil {
		t.Fatal(err)
	}
	return c
}

// findingOf is the check's finding with a code, or nil.
func findingOf(c *Check, code Code) *Finding {
	for i := range c.Findings {
		if c.Findings[i].Code() == code {
			return &c.Findings[i]
		}
	}
	return nil
}
