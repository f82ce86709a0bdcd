package additions

import (
	"slices"
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/stocking"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"

	"pgregory.net/rapid"
)

// What is said for a kind is so: nobody on the list is above low with it, its water suits it, its level is free.
func TestWhySaysWhatIsSo(t *testing.T) {
	b := testfish.Book(t)
	said := map[conflict.WordCode]int{}
	rapid.Check(t, func(t *rapid.T) {
		s := stockingtest.DrawStock(t, b, 4)
		a, err := Rank(b, s, Options{Limit: 5})
		if err != nil {
			t.Skip("the list itself cannot be judged")
		}
		for _, x := range a.Below {
			if x.Why != nil {
				t.Errorf("%s does not fit, and is told why it does: %v", x.Species.ID, x.Why.Words)
			}
		}
		for _, x := range a.Fitting {
			if x.Why == nil || x.Why.Actor != x.Species || len(x.Why.Words) > maxClauses {
				t.Fatalf("%s: %+v", x.Species.ID, x.Why)
			}
			for _, word := range x.Why.Words {
				said[word]++
				holdsSo(t, b, &s, &x, word)
			}
		}
	})
	if said[whyCompany] == 0 || said[whyLikesWater] == 0 {
		t.Errorf("%v", said)
	}
}

// holdsSo holds one clause against a check of the list with the kind in it.
func holdsSo(t *rapid.T, b *conflict.Book, s *stocking.Stock, x *Addition, word conflict.WordCode) {
	switch word {
	case whyCompany:
		with := *s
		with.Lines = append(slices.Clone(s.Lines), stocking.Line{Index: x.Index, Count: x.Count, Incoming: true, Refs: []int{-1}})
		check, err := stocking.Judge(b, with)
		if err != nil {
			t.Fatal(err)
		}
		joins := func(i int) bool { return check.Lines[i].Incoming && check.Lines[i].Index == x.Index }
		for i := range check.Pairings {
			p := &check.Pairings[i]
			if p.First != p.Second && joins(p.First) != joins(p.Second) && p.Score.Value >= conflict.ModerateFrom+1e-9 {
				t.Errorf("%s gets on with everyone, and a pairing has %.1f", x.Species.ID, p.Score.Value)
			}
		}
	case whyLikesWater:
		if x.WaterFit < likesFrom {
			t.Errorf("%s likes water that fits it by %.2f", x.Species.ID, x.WaterFit)
		}
	case whyEmpty[0], whyEmpty[1], whyEmpty[2]:
		if x.ZoneFree < emptyFrom {
			t.Errorf("%s: %.2f of its level is free", x.Species.ID, x.ZoneFree)
		}
	}
}

func TestWhatIsLikeTheOneToReplaceIsSaidToBe(t *testing.T) {
	b := testfish.Book(t)
	s := neonTank(t)
	i := s.Lines[0].Index
	a := mustAdd(t, b, s, Options{Limit: 5, InsteadOf: &i})
	if len(a.Fitting) == 0 {
		t.Fatal("nothing fits")
	}
	for _, x := range a.Fitting {
		if (x.Why.Code == WhyAlike) != (x.Likeness >= alikeFrom) {
			t.Errorf("%s, like it by %.2f: %+v", x.Species.ID, x.Likeness, x.Why)
		}
		if x.Why.Code == WhyAlike && x.Why.Other != b.Snapshot.At(i) {
			t.Errorf("%s is like %v", x.Species.ID, x.Why.Other)
		}
	}
}
