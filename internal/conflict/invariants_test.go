package conflict

import (
	"math"
	"reflect"
	"testing"

	"commensal/internal/species"

	"pgregory.net/rapid"
)

const tiny = 1e-9

// scorePair scores two species in a tank with fresh profiles.
func scorePair(m *Model, a, b *species.Species, tank *Tank) (Score, terms) {
	pa, pb := m.Profile(a, Individual{}), m.Profile(b, Individual{})
	c := ConditionsFor(pa, pb, tank)
	return m.Score(pa, pb, &c), m.evaluate(pa, pb, &c, typical)
}

func TestSwappingThePairSwapsOnlyTheDirections(t *testing.T) {
	m := testModel(t)
	rapid.Check(t, func(t *rapid.T) {
		a, b, tank := drawSpecies(t, "a"), drawSpecies(t, "b"), drawTank(t)
		ab, _ := scorePair(m, a, b, tank)
		ba, _ := scorePair(m, b, a, tank)
		if math.Abs(ab.Value-ba.Value) > tiny || ab.Level != ba.Level || ab.Reason != ba.Reason {
			t.Fatalf("pair(a,b) = %v %v %v, pair(b,a) = %v %v %v", ab.Value, ab.Level, ab.Reason, ba.Value, ba.Level, ba.Reason)
		}
		if math.Abs(ab.Harm[0]-ba.Harm[1]) > tiny || math.Abs(ab.Harm[1]-ba.Harm[0]) > tiny {
			t.Fatalf("harm %v against %v is not swapped", ab.Harm, ba.Harm)
		}
		for f := range ab.Shares {
			if math.Abs(ab.Shares[f]-ba.Shares[f]) > 1e-6 {
				t.Fatalf("share of %v: %v against %v", Factor(f), ab.Shares[f], ba.Shares[f])
			}
		}
	})
}

func TestTheSameInputsGiveTheSameAnswerToTheBit(t *testing.T) {
	m := testModel(t)
	rapid.Check(t, func(t *rapid.T) {
		a, b, tank := drawSpecies(t, "a"), drawSpecies(t, "b"), drawTank(t)
		pa, pb := m.Profile(a, Individual{}), m.Profile(b, Individual{})
		if x, y := m.Explain(pa, pb, tank), m.Explain(pa, pb, tank); !reflect.DeepEqual(x, y) {
			t.Fatalf("two answers to one question:\n%+v\n%+v", x, y)
		}
	})
}

func TestScoresAreBoundedAndSharesAddUpToThem(t *testing.T) {
	m := testModel(t)
	rapid.Check(t, func(t *rapid.T) {
		s, tm := scorePair(m, drawSpecies(t, "a"), drawSpecies(t, "b"), drawTank(t))
		if !(s.Value >= 0 && s.Value <= 100) {
			t.Fatalf("score %v", s.Value)
		}
		sum := 0.0
		for _, share := range s.Shares {
			sum += share
		}
		if math.Abs(sum-s.Value) > 1e-6 {
			t.Fatalf("shares %v sum to %v, score %v", s.Shares, sum, s.Value)
		}
		if tm.water == 0 && math.Abs(s.Shares[WaterRange]) > tiny {
			t.Fatalf("water is neutral, yet its share is %v", s.Shares[WaterRange])
		}
		if tm.zone == 1 && math.Abs(s.Shares[SwimmingZone]) > tiny {
			t.Fatalf("the zone is neutral, yet its share is %v", s.Shares[SwimmingZone])
		}
		for _, h := range s.Harm {
			if !(h >= 0 && h <= 1) {
				t.Fatalf("harm %v", s.Harm)
			}
		}
	})
}

func TestMoreRoomOrCoverNeverRaisesAScore(t *testing.T) {
	m := testModel(t)
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawSpecies(t, "a"), drawSpecies(t, "b")
		tank := drawTank(t)
		if tank == nil {
			t.Skip("reference conditions have no tank to enlarge")
		}
		better := *tank
		better.LengthCM += rapid.Float64Range(0, 200).Draw(t, "longer")
		better.WidthCM += rapid.Float64Range(0, 100).Draw(t, "wider")
		better.Cover += rapid.Float64Range(0, 1-tank.Cover).Draw(t, "denser")
		before, _ := scorePair(m, a, b, tank)
		after, _ := scorePair(m, a, b, &better)
		if after.Value > before.Value+tiny {
			t.Fatalf("better tank raised %v to %v", before.Value, after.Value)
		}
	})
}

// The core of comfort lies around the middle of what a kind prefers, so a range widened at
// both ends alike, or where it faces the other's, never raises a score.
func TestWiderWaterRangesNeverRaiseAScore(t *testing.T) {
	m := testModel(t)
	rapid.Check(t, func(t *rapid.T) {
		a, b, tank := drawSpecies(t, "a"), drawSpecies(t, "b"), drawTank(t)
		before, _ := scorePair(m, a, b, tank)
		wide := *a
		p := rapid.SampledFrom([]species.Parameter{species.Temperature, species.PH, species.Hardness, species.Salinity}).Draw(t, "parameter")
		w := &wide.Water[p]
		most := min(w.Preferred.Low-w.Tolerated.Low, w.Tolerated.High-w.Preferred.High)
		by := rapid.Float64Range(0, max(most, 0)).Draw(t, "preferred")
		w.Preferred.Low -= by
		w.Preferred.High += by
		w.Tolerated.Low -= rapid.Float64Range(0, 3).Draw(t, "tolerated low")
		w.Tolerated.High += rapid.Float64Range(0, 3).Draw(t, "tolerated high")
		after, _ := scorePair(m, &wide, b, tank)
		if after.Value > before.Value+1e-7 {
			t.Fatalf("%v widened: %v became %v", p, before.Value, after.Value)
		}
	})
}

func TestARangeWidenedTowardsTheOtherNeverRaisesAScore(t *testing.T) {
	m := testModel(t)
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawSpecies(t, "a"), drawSpecies(t, "b")
		p := rapid.SampledFrom([]species.Parameter{species.Temperature, species.PH}).Draw(t, "parameter")
		low, high := &a.Water[p], &b.Water[p]
		if low.Preferred.High > high.Preferred.Low {
			t.Skip("the preferred ranges meet")
		}
		before, _ := scorePair(m, a, b, nil)
		wide := *a
		w := &wide.Water[p]
		w.Preferred.High += rapid.Float64Range(0, high.Preferred.Low-low.Preferred.High).Draw(t, "preferred")
		w.Tolerated.High = max(w.Tolerated.High, w.Preferred.High)
		after, _ := scorePair(m, &wide, b, nil)
		if after.Value > before.Value+1e-7 {
			t.Fatalf("%v widened: %v became %v", p, before.Value, after.Value)
		}
	})
}

func TestNoReadingIsKinderThanNone(t *testing.T) {
	m := testModel(t)
	rapid.Check(t, func(t *rapid.T) {
		a, b := drawSpecies(t, "a"), drawSpecies(t, "b")
		none, _ := scorePair(m, a, b, &Tank{})
		p := rapid.SampledFrom([]species.Parameter{species.Temperature, species.PH, species.Hardness, species.Salinity}).Draw(t, "parameter")
		tank := &Tank{}
		tank.Reading[p] = Reading{Value: rapid.Float64Range(0, 40).Draw(t, "value"), Known: true}
		if some, _ := scorePair(m, a, b, tank); some.Value < none.Value-1e-9 {
			t.Fatalf("%v at %v scores %v, no reading %v", p, tank.Reading[p].Value, some.Value, none.Value)
		}
		pa, pb := m.Profile(a, Individual{}), m.Profile(b, Individual{})
		best, _, _ := BestWater([]*Profile{pa, pb}, p)
		tank.Reading[p].Value = best
		if at, _ := scorePair(m, a, b, tank); math.Abs(at.Value-none.Value) > 1e-6 {
			t.Fatalf("%v at its best, %v, scores %v, no reading %v", p, best, at.Value, none.Value)
		}
	})
}

// scaled returns a copy of sp with one trait's band multiplied, in every sex.
func scaled(sp *species.Species, tr species.Trait, by float64) *species.Species {
	c := *sp
	for _, set := range []*species.TraitSet{&c.Traits, &c.MaleTraits, &c.FemaleTraits} {
		v := &set[tr]
		v.Low, v.Typical, v.High = v.Low*by, v.Typical*by, v.High*by
	}
	return &c
}

func TestALargerPredatorOrSmallerPreyNeverLowersPredation(t *testing.T) {
	m := testModel(t)
	rapid.Check(t, func(t *rapid.T) {
		a, b, tank := drawSpecies(t, "a"), drawSpecies(t, "b"), drawTank(t)
		_, before := scorePair(m, a, b, tank)
		_, larger := scorePair(m, scaled(a, species.Length, rapid.Float64Range(1, 3).Draw(t, "growth")), b, tank)
		_, smaller := scorePair(m, a, scaled(b, species.Length, rapid.Float64Range(0.3, 1).Draw(t, "shrink")), tank)
		eaten := func(x *terms) float64 { return x.eaten(0) + x.young[0] }
		if eaten(&larger) < eaten(&before)-tiny || eaten(&smaller) < eaten(&before)-tiny {
			t.Fatalf("predation %v, larger predator %v, smaller prey %v", eaten(&before), eaten(&larger), eaten(&smaller))
		}
	})
}

func TestHigherAggressionNeverLowersTheTemperamentTerm(t *testing.T) {
	m := testModel(t)
	rapid.Check(t, func(t *rapid.T) {
		a, b, tank := drawSpecies(t, "a"), drawSpecies(t, "b"), drawTank(t)
		tr := rapid.SampledFrom([]species.Trait{species.AggressionOthers, species.AggressionAlike, species.AggressionOwn, species.FinNipping}).Draw(t, "trait")
		self := rapid.Bool().Draw(t, "own kind")
		if self {
			b = a
		}
		fierce := scaled(a, tr, rapid.Float64Range(1, 2).Draw(t, "fiercer"))
		other := b
		if self {
			other = fierce
		}
		calm, before := scorePair(m, a, b, tank)
		hot, after := scorePair(m, fierce, other, tank)
		x, y := before.sums(), after.sums()
		// A fish that meets others head on is less readily eaten: that alone may lower the score.
		rest := func(s *sums) float64 { return s.total() - s.swallow }
		if y.clash+y.nip < x.clash+x.nip-tiny || rest(&y) < rest(&x)-tiny || hot.Value < calm.Value-tiny && y.swallow >= x.swallow {
			t.Fatalf("%v raised: temperament %v became %v, score %v became %v", tr, x.clash+x.nip, y.clash+y.nip, calm.Value, hot.Value)
		}
	})
}

func TestTheExtremesHoldEveryDrawInsideTheTraitBands(t *testing.T) {
	m := testModel(t)
	rapid.Check(t, func(t *rapid.T) {
		a, b, tank := drawSpecies(t, "a"), drawSpecies(t, "b"), drawTank(t)
		s, _ := scorePair(m, a, b, tank)
		for _, b := range [][2]float64{s.Band, s.Extremes} {
			if s.Value < b[0]-tiny || s.Value > b[1]+tiny || b[0] < 0 || b[1] > 100 {
				t.Fatalf("score %v outside %v", s.Value, b)
			}
		}
		// The conditions are part of the question: the reference tank stays the one of
		// the typical traits, whatever the draw says about tanks.
		pa, pb := m.Profile(a, Individual{}), m.Profile(b, Individual{})
		c := ConditionsFor(pa, pb, tank)
		da, db := m.Profile(inside(t, a), Individual{}), m.Profile(inside(t, b), Individual{})
		da.tankLength, da.tankWidth, da.giant, da.territories = pa.tankLength, pa.tankWidth, pa.giant, pa.territories
		db.tankLength, db.tankWidth, db.giant, db.territories = pb.tankLength, pb.tankWidth, pb.giant, pb.territories
		da.animalFood, db.animalFood = pa.animalFood, pb.animalFood
		if v := m.Value(da, db, &c); v < s.Extremes[0]-1e-6 || v > s.Extremes[1]+1e-6 {
			t.Fatalf("a draw inside the trait bands scores %v, outside %v", v, s.Extremes)
		}
	})
}

// inside draws one animal: every known trait at one value within its band, every
// missing one at a value within the band that stands in for it.
func inside(t *rapid.T, sp *species.Species) *species.Species {
	c := *sp
	for _, tr := range append([]species.Trait{species.Claws}, scored...) {
		for i, set := range []*species.TraitSet{&c.Traits, &c.MaleTraits, &c.FemaleTraits} {
			v := &set[tr]
			if !v.Known() {
				if i > 0 || tr == species.Claws {
					continue
				}
				*v = species.Value{Band: unknownBand[tr], Basis: species.Memory}
			}
			x := rapid.Float64Range(v.Low, v.High).Draw(t, "draw."+tr.String())
			v.Low, v.Typical, v.High = x, x, x
		}
	}
	return &c
}

func TestPairwiseWaterVerdictsAgreeWithTheWholeList(t *testing.T) {
	// Helly 1923 in one dimension: ranges that overlap pairwise share a point.
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 6).Draw(t, "n")
		common, joint, pairwise := species.Range{Low: 0, High: 40}, true, true
		var all []species.Range
		for range n {
			r := drawWater(t, "r", 0, 40).Tolerated
			for _, o := range all {
				_, ok := r.Intersect(o)
				pairwise = pairwise && ok
			}
			all = append(all, r)
			common, _ = common.Intersect(r)
			joint = joint && common.Low <= common.High
		}
		if joint != pairwise {
			t.Fatalf("ranges %v: pairwise %v, joint %v", all, pairwise, joint)
		}
	})
}

func TestRemediesKeepTheirPromise(t *testing.T) {
	m := testModel(t)
	rapid.Check(t, func(t *rapid.T) {
		a, b, tank := drawSpecies(t, "a"), drawSpecies(t, "b"), drawTank(t)
		ia := Individual{Count: rapid.IntRange(0, 8).Draw(t, "count")}
		pa, pb := m.Profile(a, ia), m.Profile(b, Individual{})
		p := m.Explain(pa, pb, tank)
		for _, r := range p.Remedies {
			again, c := pa, p.Conditions
			switch {
			case r.Statement.Code == RemedyApart || r.Statement.Code == RemedyWatch:
				if r.Level != p.Score.Level {
					t.Fatalf("keeping apart promises %v", r.Level)
				}
				continue
			case r.Tank != nil:
				c.LengthCM, c.WidthCM = r.Tank.LengthCM, r.Tank.WidthCM
			case r.Water != nil:
				c.Reading[r.Water.Parameter].Value = r.Water.To
			case r.Counts[0] > 0:
				again = m.Profile(a, Individual{Count: r.Counts[0]})
			}
			if r.Cover > 0 {
				c.Cover = r.Cover
			}
			v := m.Value(again, pb, &c)
			if math.Abs(v-r.Score) > 1e-9 || LevelOf(v) != r.Level || r.Level >= p.Score.Level {
				t.Fatalf("%v promises %v (%v), gives %v, from %v", r.Statement.Code, r.Level, r.Score, v, p.Score.Value)
			}
		}
	})
}
