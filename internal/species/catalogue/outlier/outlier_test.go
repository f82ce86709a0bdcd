package outlier_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"commensal/internal/species"
	"commensal/internal/species/catalogue/builtin"
	"commensal/internal/species/catalogue/outlier"
	"commensal/internal/species/synthetic"
)

// spoilt is the built-in catalogue with one value of one entry multiplied.
func spoilt(t *testing.T, id species.ID, of species.Trait, factor float64) []*species.Species {
	t.Helper()
	c, err := builtin.Catalogue()
	if err != nil {
		t.Fatal(err)
	}
	list := slices.Clone(c.Species)
	for i, s := range list {
		if s.ID == id {
			wrong := *s
			v := &wrong.Traits[of]
			v.Low, v.Typical, v.High = v.Low*factor, v.Typical*factor, v.High*factor
			list[i] = &wrong
		}
	}
	return list
}

func find(list []outlier.Outlier, id species.ID, field string) (rank int, o outlier.Outlier) {
	for _, x := range list {
		if x.Field != field {
			continue
		}
		rank++
		if x.Species == id {
			return rank, x
		}
	}
	return 0, outlier.Outlier{}
}

// A lifespan in months among years, a tank in inches, a gape in per cent: slips that stay within the bounds.
func TestSlipsComeFirst(t *testing.T) {
	for _, tt := range []struct {
		id     species.ID
		of     species.Trait
		factor float64
	}{
		{"danio-rerio", species.Lifespan, 12},
		{"astronotus-ocellatus", species.TankLength, 1 / 2.54},
		{"pethia-conchonius", species.Gape, 4},
		{"danio-rerio", species.GrowthK, 0.15},
	} {
		rank, o := find(outlier.Of(spoilt(t, tt.id, tt.of, tt.factor)), tt.id, tt.of.String())
		if rank == 0 || rank > 5 || (o.Distance > 0) != (tt.factor > 1) {
			t.Errorf("%s of %s times %.2f has rank %d, %+v", tt.of, tt.id, tt.factor, rank, o)
		}
	}
}

func TestTheRankingIsInOrderAndExplained(t *testing.T) {
	list := outlier.Of(spoilt(t, "danio-rerio", species.Lifespan, 12))
	last := map[string]float64{}
	for _, o := range list {
		if far, seen := last[o.Field]; seen && math.Abs(o.Distance) > far {
			t.Fatalf("%+v is out of order", o)
		}
		last[o.Field] = math.Abs(o.Distance)
		if o.Detail == "" || strings.Contains(o.Detail, "\n") || math.IsNaN(o.Distance) {
			t.Fatalf("%+v", o)
		}
	}
	if len(last) < 20 {
		t.Errorf("only %d fields have outliers", len(last))
	}
}

func TestFewEntriesHaveNoOutliers(t *testing.T) {
	if got := outlier.Of(synthetic.Catalogue(1, 7).Species); len(got) != 0 {
		t.Errorf("got %v", got)
	}
	if got := outlier.Of(nil); len(got) != 0 {
		t.Errorf("got %v", got)
	}
}

func BenchmarkOf(b *testing.B) {
	c, err := builtin.Catalogue()
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		outlier.Of(c.Species)
	}
}
