package waterchem

import "testing"

var benchStock = []Stock{
	{Count: 10, Mass: Estimate{0.2, 0.3, 0.5}}, {Count: 6, Mass: Estimate{2, 3, 5}}, {Count: 1, Mass: Estimate{200, 300, 500}},
}

// hot are the relations that a check of a tank evaluates many times.
var hot = []struct {
	name string
	run  func() error
}{
	{"OxygenSaturationAt", func() error { _, err := OxygenSaturationAt(25, 0, 95); return err }},
	{"UnionizedFraction", func() error { _, err := UnionizedFraction(7.4, 25); return err }},
	{"UnionizedFractionSea", func() error { _, err := UnionizedFractionSea(8.1, 25, 35); return err }},
	{"ShareForPeak", func() error { _, err := ShareForPeak(12, 10, 40); return err }},
	{"WeightFromForm", func() error { _, err := WeightFromForm(Fusiform, 7); return err }},
	{"LengthAfter", func() error { _, err := Growth{30, 1, 0}.LengthAfter(7, 0.5); return err }},
	{"TimeBetween", func() error { _, err := Growth{30, 1, 0}.TimeBetween(7, 25); return err }},
	{"OxygenDemand", func() error { _, err := OxygenDemand(25, benchStock); return err }},
	{"StockRation", func() error { _, err := StockRation(25, benchStock); return err }},
	{"FeedRation", func() error { _, err := FeedRation(3, 25); return err }},
	{"WaterMass", func() error { _, err := WaterMass(200, 25, 0); return err }},
}

func BenchmarkRelations(b *testing.B) {
	for _, h := range hot {
		b.Run(h.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				if err := h.run(); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func TestHotRelationsDoNotAllocate(t *testing.T) {
	for _, h := range hot {
		if err := h.run(); err != nil {
			t.Errorf("%s: %v", h.name, err)
		}
		if allocs := testing.AllocsPerRun(100, func() { _ = h.run() }); allocs != 0 {
			t.Errorf("%s allocates %g times", h.name, allocs)
		}
	}
}
