package conflict_test

import (
	"math"
	"slices"
	"sync"
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/species/synthetic"
)

// conditionsTried are tanks and fish under which one species meets all others.
var conditionsTried = []struct {
	name string
	tank *conflict.Tank
	fish conflict.Individual
}{
	{"customary tank", nil, conflict.Individual{}},
	{"given tank", &conflict.Tank{LengthCM: 120, WidthCM: 50, HeightCM: 50, Cover: 0.8, CoverKnown: true}, conflict.Individual{}},
	{"small tank", &conflict.Tank{LengthCM: 60, WidthCM: 30, HeightCM: 30}, conflict.Individual{Count: 3}},
	{"water", watered(), conflict.Individual{Sex: species.Female}},
	{"a group of males", nil, conflict.Individual{Count: 9, Sex: species.Male}},
	{"young fish", nil, conflict.Individual{LengthCM: 2.5, Youth: conflict.Youth{Unripe: 0.5}}},
	{"a calm one", nil, conflict.Individual{Count: 1, Observed: conflict.Calmer, MonthsObserved: 9}},
}

func watered() *conflict.Tank {
	t := &conflict.Tank{LengthCM: 150, WidthCM: 60, HeightCM: 60}
	t.Reading[species.Temperature] = conflict.Reading{Value: 25, Known: true}
	t.Reading[species.PH] = conflict.Reading{Value: 7.4, Known: true}
	return t
}

// The scores of one against all are those of each pairing asked alone, and those that are explained.
func TestOneAgainstAllIsEachPairingAlone(t *testing.T) {
	generated, err := species.NewSnapshot(1, synthetic.Catalogue(3, 5_000))
	if err != nil {
		t.Fatal(err)
	}
	model, err := conflict.Default()
	if err != nil {
		t.Fatal(err)
	}
	for _, tried := range []struct {
		name        string
		book        *conflict.Book
		step, start int
	}{{"catalogue", realBook(t), 1, 0}, {"generated", conflict.NewBook(model, generated), 601, 2}} {
		t.Run(tried.name, func(t *testing.T) {
			var out []float64
			for i := tried.start; i < tried.book.Snapshot.Len(); i += tried.step {
				k := i % len(conditionsTried)
				if tried.step > 1 {
					k = i / tried.step % len(conditionsTried)
				}
				out = againstAll(t, tried.book, i, 0, out)
				out = againstAll(t, tried.book, i, k, out)
			}
		})
	}
}

// againstAll compares a species with all others under the k-th conditions, some with their explanation.
func againstAll(t *testing.T, book *conflict.Book, i, k int, out []float64) []float64 {
	t.Helper()
	c := conditionsTried[k]
	p := book.For(i, c.fish)
	out = book.Against(p, c.tank, out)
	if len(out) != book.Snapshot.Len() {
		t.Fatalf("%d scores", len(out))
	}
	for j, got := range out {
		q := book.Profile(j)
		under := conflict.ConditionsFor(p, q, c.tank)
		if want := book.Model.Value(p, q, &under); got != want {
			t.Fatalf("%s: %s with %s is %v, alone %v", c.name, p.Species.ID, q.Species.ID, got, want)
		}
		if (i*31+j)%101 != 0 {
			continue
		}
		sum := 0.0
		score := book.Model.Score(p, q, &under)
		for _, share := range score.Shares {
			sum += share
		}
		if math.Abs(got-score.Value) > 1e-9 || math.Abs(got-sum) > 1e-9 {
			t.Fatalf("%s: %s with %s is %v, explained %v, shares %v", c.name, p.Species.ID, q.Species.ID, got, score.Value, sum)
		}
	}
	return out
}

// A pairing made ready for many tanks scores in each as it does alone.
func TestAPairingMadeReadyScoresAlike(t *testing.T) {
	book := realBook(t)
	n := book.Snapshot.Len()
	for i := range n {
		tried := conditionsTried[i%len(conditionsTried)]
		a, b := book.For(i, tried.fish), book.Profile((i*7+3)%n)
		ready := book.Model.Pairwise(a, b)
		for _, size := range conflict.StandardTanks {
			c := conflict.ConditionsFor(a, b, &conflict.Tank{LengthCM: size.LengthCM, WidthCM: size.WidthCM, Cover: 0.7, CoverKnown: true})
			c.OthersGroundCM2 = float64(i % 5 * 700)
			if got, want := book.Model.ValueIn(&ready, &c), book.Model.Value(a, b, &c); got != want {
				t.Fatalf("%s with %s: %v, alone %v", a.Species.ID, b.Species.ID, got, want)
			}
			score, told := book.Model.BriefIn(&ready, &c)
			alone, said := book.Model.Brief(a, b, &c)
			if score.Value != alone.Value || score.Band != alone.Band || score.Harm != alone.Harm || score.Level != alone.Level ||
				score.Reason != alone.Reason || told.Code != said.Code || told.Actor != said.Actor {
				t.Fatalf("%s with %s: %+v %v, alone %+v %v", a.Species.ID, b.Species.ID, score, told.Code, alone, said.Code)
			}
		}
	}
}

// Whatever the worst of several pairings comes to, however many join, is at least the bound.
func TestABoundIsNeverAboveTheWorstPairing(t *testing.T) {
	book := realBook(t)
	n := book.Snapshot.Len()
	tight := 0
	for i := range 60 {
		tried := conditionsTried[i%len(conditionsTried)]
		var lines []conflict.Group
		var all []int
		ground := float64(i % 4 * 900)
		for k := range i%9 + 1 {
			line := book.For((i*37+k*211)%n, tried.fish)
			if k%2 == 1 {
				line = line.InNumbers(k+1, k+3)
			}
			lines, all, ground = append(lines, conflict.Group{Index: (i*37 + k*211) % n, Line: line}), append(all, k), ground+line.Ground()
		}
		least := book.Beside(lines, ground, tried.tank).AtLeast(all, nil)
		for j := i % 7; j < n; j += 7 {
			joins := book.Profile(j)
			if i%3 > 0 {
				joins = joins.InNumbers(i%5+1, i%5+1)
			}
			worst := 0.0
			for _, l := range lines {
				c := conflict.ConditionsFor(l.Line, joins, tried.tank)
				c.Reading = [species.NumParameters]conflict.Reading{}
				if !c.ReferenceTank {
					c.OthersGroundCM2 = ground - l.Line.Ground()
				}
				worst = max(worst, book.Model.Value(l.Line, joins, &c))
			}
			if least[j] > worst+1e-9 {
				t.Fatalf("%s: %s joins %d lines at %v, and the bound is %v", tried.name, joins.Species.ID, len(lines), worst, least[j])
			}
			if least[j] > worst-5 {
				tight++
			}
		}
	}
	if all := 60 * n / 7; tight < all/2 {
		t.Errorf("of %d bounds only %d come within a step of the score", all, tight)
	}
}

// A catalogue of no lines to meet bounds nothing.
func TestNobodyBoundsNothing(t *testing.T) {
	book := realBook(t)
	for i, least := range book.Beside(nil, 0, nil).AtLeast(nil, slices.Repeat([]float64{7}, book.Snapshot.Len())) {
		if least != 0 {
			t.Fatalf("%s is bounded by %v", book.Profile(i).Species.ID, least)
		}
	}
}

// A book whose species are made ready as they are asked for answers as one that is ready.
func TestABookAsAskedIsTheBook(t *testing.T) {
	book := realBook(t)
	asked := conflict.BookAsAsked(book.Model, book.Snapshot)
	n := book.Snapshot.Len()
	var together sync.WaitGroup
	for part := range 3 {
		together.Go(func() {
			for k := range 200 {
				i, j := (k*13+part)%n, (k*7+3)%n
				if got, want := asked.Value(i, j), book.Value(i, j); got != want {
					t.Errorf("%d with %d is %v, want %v", i, j, got, want)
				}
			}
		})
	}
	together.Wait()
	if got, want := asked.Against(asked.Profile(5), nil, nil), book.Against(book.Profile(5), nil, nil); !slices.Equal(got, want) {
		t.Error("one against all differs")
	}
}

// Those who may join some lines score beside each of them as they do alone, whoever comes first.
func TestJoinersScoreBesideEachLineAsTheyDoAlone(t *testing.T) {
	book := realBook(t)
	n := book.Snapshot.Len()
	for i, tried := range slices.Concat(conditionsTried, conditionsTried) {
		var lines, joiners []conflict.Group
		ground := 0.0
		for k := range 12 {
			at := (i*97 + k*k*131) % n
			line := conflict.Group{Index: at, Line: book.For(at, tried.fish)}
			if i%2 == 1 {
				line.Line = book.Profile(at).InNumbers(k+1, k+1+k%2)
			}
			lines, ground = append(lines, line), ground+line.Line.Ground()
		}
		beside := book.Beside(lines, ground, tried.tank)
		for at := i % 3; at < n; at += 1 + i%3 {
			joins := conflict.Group{Index: at, Line: book.Profile(at)}
			if at%3 > 0 {
				joins.Line = joins.Line.InNumbers(at%5+1, at%5+1)
			}
			if joiners = append(joiners, joins); len(joiners) < 1+(at*7+i)%conflict.MostJoiners && at < n-3 {
				continue
			}
			besideAsAlone(t, book, beside, lines, joiners, ground, tried.tank)
			joiners = joiners[:0]
		}
	}
}

func besideAsAlone(t *testing.T, book *conflict.Book, beside *conflict.Beside, lines, joiners []conflict.Group, ground float64, tank *conflict.Tank) {
	t.Helper()
	got := make([]float64, len(joiners))
	slices.Reverse(joiners) // in no order
	beside.Join(joiners)
	for k, l := range lines {
		beside.Scores(k, got)
		for i, j := range joiners {
			a, b := l.Line, j.Line
			if j.Index < l.Index {
				a, b = b, a
			}
			c := conflict.ConditionsFor(a, b, tank)
			c.Reading = [species.NumParameters]conflict.Reading{}
			if !c.ReferenceTank {
				c.OthersGroundCM2 = max(0, ground+j.Line.Ground()-l.Line.Ground()-j.Line.Ground())
			}
			if want := book.Model.Value(a, b, &c); got[i] != want {
				t.Fatalf("%s joins %s: %v, alone %v", j.Line.Species.ID, l.Line.Species.ID, got[i], want)
			}
		}
	}
}
