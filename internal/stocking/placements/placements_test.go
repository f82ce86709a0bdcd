package placements

import (
	"math"
	"slices"
	"strings"
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"
	"commensal/internal/stocking/wording"

	"pgregory.net/rapid"
)

func mustPlace(t testing.TB, b *conflict.Book, arrivals []Arrival, tanks []Adopter, o Options) Placements {
	t.Helper()
	p, err := Find(b, arrivals, stocking.DefaultWanted, tanks, o)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// home is a furnished tank of a standard kind with what lives there.
func home(length, width, height float64, lines ...stocking.Line) Adopter {
	tank := stockingtest.GoodTank()
	tank.LengthCM, tank.WidthCM, tank.HeightCM = length, width, height
	return Adopter{Tank: tank, Lines: lines}
}

func arriving(lines ...stocking.Line) (out []Arrival) {
	for _, l := range lines {
		out = append(out, Arrival{Line: l})
	}
	return out
}

func TestFishGoWhereTheyDoTheLeastHarm(t *testing.T) {
	b := testfish.Book(t)
	tanks := []Adopter{
		home(180, 60, 60, stockingtest.Some(t, "astronotus-ocellatus", 1)),
		home(120, 50, 50, stockingtest.Some(t, "paracheirodon-innesi", 12)),
		home(45, 30, 30),
	}
	p := mustPlace(t, b, arriving(stockingtest.Some(t, "hoplisoma-panda", 8)), tanks, Options{})
	got := p.Arrivals[0]
	if got.Tank != 1 || !p.Optimal || p.Lost != 0 || len(p.Tanks) != 1 || p.Tanks[0].Decision == stocking.Hold {
		t.Fatalf("%+v", p)
	}
	if len(got.Options) != 3 || got.Fitting != 1 || !got.Options[0].Fits || got.Options[1].Fits {
		t.Errorf("options %+v", got.Options)
	}
	for _, o := range got.Options[1:] {
		text := wording.English(false).Sentence(o.Reason)
		if o.Tank == 0 && (!strings.Contains(text, " eat ") || o.With != 0) || o.Tank == 2 && o.With != stocking.TheTank {
			t.Errorf("tank %d: %q with %d", o.Tank, text, o.With)
		}
	}
}

func TestShoalsAndNamedCompanionsStayTogether(t *testing.T) {
	b := testfish.Book(t)
	tanks := []Adopter{home(80, 35, 40), home(150, 60, 60)}
	neons := arriving(stockingtest.Some(t, "paracheirodon-innesi", 4), stockingtest.Some(t, "paracheirodon-innesi", 4))
	p := mustPlace(t, b, neons, tanks, Options{})
	if len(p.Arrivals) != 1 || !slices.Equal(p.Arrivals[0].Refs, []int{0, 1}) || p.Arrivals[0].Tank < 0 {
		t.Errorf("a shoal in two bags: %+v", p.Arrivals)
	}
	named := arriving(stockingtest.Some(t, "trichogaster-lalius", 1), stockingtest.Some(t, "hoplisoma-panda", 8), stockingtest.Some(t, "ancistrus-cirrhosus", 1))
	named[0].Together, named[2].Together = "bonded", "bonded"
	p = mustPlace(t, b, named, tanks, Options{})
	if len(p.Arrivals) != 2 || !slices.Equal(p.Arrivals[0].Refs, []int{0, 2}) {
		t.Errorf("named companions: %+v", p.Arrivals)
	}
}

func TestMalesThatFightAreSpreadOverTheTanks(t *testing.T) {
	b := testfish.Book(t)
	male := stockingtest.Some(t, "betta-splendens", 1)
	male.Sex = species.Male
	tanks := []Adopter{home(60, 30, 36), home(60, 30, 36)}
	p := mustPlace(t, b, arriving(male, male, male), tanks, Options{})
	var at []int
	for _, a := range p.Arrivals {
		at = append(at, a.Tank)
	}
	slices.Sort(at)
	if !slices.Equal(at, []int{-1, 0, 1}) || p.Lost != 1 || p.LostBound != 1 || !p.Optimal {
		t.Errorf("at %v, lost %v of at least %v, optimal %v", at, p.Lost, p.LostBound, p.Optimal)
	}
}

func TestATankOnHoldTakesNobody(t *testing.T) {
	b := testfish.Book(t)
	held := home(150, 60, 60, stockingtest.Some(t, "astronotus-ocellatus", 1), stockingtest.Some(t, "paracheirodon-innesi", 12))
	p := mustPlace(t, b, arriving(stockingtest.Some(t, "pterygoplichthys-pardalis", 1)), []Adopter{held}, Options{})
	if p.Before[0] != stocking.Hold || p.Arrivals[0].Tank != -1 || p.Arrivals[0].Options[0].Reason.Code != stocking.ReasonTankHeld || p.Summary.Code != PlacedNone {
		t.Errorf("%+v", p)
	}
}

func TestBadPlacementsAreRefused(t *testing.T) {
	b := testfish.Book(t)
	one := arriving(stockingtest.Some(t, "betta-splendens", 1))
	short := home(0.5, 30, 30)
	for _, c := range []struct {
		name     string
		arrivals []Arrival
		tanks    []Adopter
		line     int
	}{
		{"nobody", nil, []Adopter{{}}, -1},
		{"nowhere", one, nil, -1},
		{"too many fish", make([]Arrival, MaxArrivals+1), []Adopter{{}}, -1},
		{"too many tanks", one, make([]Adopter, MaxAdopters+1), -1},
		{"no such species", arriving(stocking.Line{Index: b.Snapshot.Len()}), []Adopter{{}}, 0},
		{"a bad tank", one, []Adopter{{}, short}, 2},
		{"a bad resident", one, []Adopter{home(60, 30, 36, stocking.Line{Index: -1})}, 1},
	} {
		_, err := Find(b, c.arrivals, stocking.DefaultWanted, c.tanks, Options{})
		input, ok := err.(*stocking.InputError)
		if !ok || len(input.Problems) != 1 || input.Problems[0].Line != c.line {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

// drawAdopters draws tanks that are not all hopeless.
func drawAdopters(t *rapid.T, b *conflict.Book, most int) []Adopter {
	out := make([]Adopter, rapid.IntRange(1, most).Draw(t, "tanks"))
	for i := range out {
		if out[i].Tank = stockingtest.DrawTank(t); out[i].Tank != nil && rapid.Bool().Draw(t, "large") {
			out[i].Tank.LengthCM, out[i].Tank.WidthCM, out[i].Tank.HeightCM = 200, 80, 70
			out[i].Tank.Reading = [species.NumParameters]conflict.Reading{}
		}
		if rapid.Bool().Draw(t, "lived in") {
			out[i].Lines = stockingtest.DrawLines(t, b, 2)
		}
	}
	return out
}

func drawArrivals(t *rapid.T, b *conflict.Book, most int) []Arrival {
	out := arriving(stockingtest.DrawLines(t, b, most)...)
	for i := range out {
		if rapid.IntRange(0, 5).Draw(t, "bound") == 0 {
			out[i].Together = rapid.SampledFrom([]string{"a", "b"}).Draw(t, "with")
		}
	}
	return out
}

// byAllWays is the least that can be lost and the least harm then, over all ways to put
// the units into the tanks; every tank is judged as a list of its own.
func byAllWays(b *conflict.Book, units [][]int, arrivals []Arrival, tanks []Adopter, oneEach bool) (lost, harm float64) {
	at := make([]int, len(units))
	lost, harm = math.Inf(1), math.Inf(1)
	alone := make([][]float64, len(tanks)) // advice about a unit by itself; +Inf where it cannot live
	for t := range tanks {
		for u := range units {
			alone[t] = append(alone[t], aloneAdvice(b, units[u], arrivals, &tanks[t])+wishesMissed(units[u], arrivals, tanks, t))
		}
	}
	var try func(u int)
	try = func(u int) {
		if u < len(units) {
			for at[u] = -1; at[u] < len(tanks); at[u]++ {
				try(u + 1)
			}
			return
		}
		l, h := priceOf(b, units, at, arrivals, tanks, alone, oneEach)
		if l < lost-nearZero || l < lost+nearZero && h < harm {
			lost, harm = l, h
		}
	}
	try(0)
	return lost, harm
}

func stockWith(a *Adopter, refs []int, arrivals []Arrival) stocking.Stock {
	s := stocking.Stock{Tank: a.Tank, Wanted: stocking.DefaultWanted}
	for _, l := range a.Lines {
		l.Incoming = false
		s.Lines = append(s.Lines, l)
	}
	for _, r := range refs {
		l := arrivals[r].Line
		l.Incoming = true
		s.Lines = append(s.Lines, l)
	}
	for i := range s.Lines {
		s.Lines[i].Refs = []int{i}
	}
	return s
}

func aloneAdvice(b *conflict.Book, refs []int, arrivals []Arrival, a *Adopter) float64 {
	before := stocking.Check{}
	if len(a.Lines) > 0 {
		s := stockWith(a, nil, nil)
		if before, _ = stocking.Judge(b, s); before.Decision == stocking.Hold {
			return math.Inf(1)
		}
	}
	after, _ := stocking.Judge(b, stockWith(a, refs, arrivals))
	if after.Decision == stocking.Hold {
		return math.Inf(1)
	}
	n := 0
	for i := range after.Findings {
		if after.Findings[i].Severity == stocking.Advice && !anyAlike(before.Findings, &after.Findings[i]) {
			n++
		}
	}
	return AdviceHarm * float64(n)
}

func priceOf(b *conflict.Book, units [][]int, at []int, arrivals []Arrival, tanks []Adopter, alone [][]float64, oneEach bool) (lost, harm float64) {
	for t := range tanks {
		var refs []int
		n := 0
		for u := range units {
			if at[u] == t {
				refs, harm, n = append(refs, units[u]...), harm+alone[t][u], n+1
			}
		}
		if n == 0 {
			continue
		}
		slices.Sort(refs)
		c, _ := stocking.Judge(b, stockWith(&tanks[t], refs, arrivals))
		if c.Decision == stocking.Hold || oneEach && n > 1 || math.IsInf(harm, 1) || !takes(b, &tanks[t].Wishes, refs, arrivals) {
			return math.Inf(1), math.Inf(1)
		}
		for _, p := range c.Pairings {
			if c.Lines[p.First].Incoming || c.Lines[p.Second].Incoming {
				harm += p.Score.Value
			}
		}
	}
	for u := range units {
		if at[u] < 0 {
			for _, r := range units[u] {
				w := arrivals[r].Weight
				if w == 0 {
					w = 1
				}
				lost += w
			}
		}
	}
	return lost, harm
}

// wishesMissed is what lines count that go where they are not asked for.
func wishesMissed(refs []int, arrivals []Arrival, tanks []Adopter, at int) (harm float64) {
	for _, r := range refs {
		asked := false
		for t := range tanks {
			asked = asked || slices.Contains(tanks[t].Wishes.Wanted, arrivals[r].Index)
		}
		if asked && !slices.Contains(tanks[at].Wishes.Wanted, arrivals[r].Index) {
			harm += 5
		}
	}
	return harm
}

// takes says whether a keeper takes some arrivals.
func takes(b *conflict.Book, w *Wishes, refs []int, arrivals []Arrival) bool {
	all, of := 0, map[int]int{}
	for _, r := range refs {
		n := stocking.FishIn(b, &arrivals[r].Line)
		all, of[arrivals[r].Index] = all+n, of[arrivals[r].Index]+n
	}
	for index, n := range of {
		if most, bound := w.AtMostOf[index]; slices.Contains(w.NotWanted, index) || bound && n > most {
			return false
		}
	}
	return w.AtMost == 0 || all <= w.AtMost
}

// drawWishes gives the tanks keepers who wish for something, about the arrivals.
func drawWishes(t *rapid.T, arrivals []Arrival, tanks []Adopter) {
	kinds := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) int { return rapid.SampledFrom(arrivals).Draw(t, "kind").Index }), 0, 2)
	for i := range tanks {
		w := &tanks[i].Wishes
		switch rapid.IntRange(0, 4).Draw(t, "keeper") {
		case 0:
			w.Wanted = kinds.Draw(t, "wanted")
		case 1:
			w.NotWanted = kinds.Draw(t, "not wanted")
		case 2:
			w.AtMost = rapid.IntRange(1, 20).Draw(t, "at most")
		case 3:
			w.AtMostOf = map[int]int{}
			for _, index := range kinds.Draw(t, "some of") {
				w.AtMostOf[index] = rapid.IntRange(1, 8).Draw(t, "of them")
			}
		}
	}
}

func TestPlacementsAreAsGoodAsTryingAllWays(t *testing.T) {
	b := testfish.Book(t)
	rapid.Check(t, func(t *rapid.T) {
		arrivals, tanks := drawArrivals(t, b, 4), drawAdopters(t, b, 3)
		drawWishes(t, arrivals, tanks)
		o := Options{OneEach: rapid.IntRange(0, 3).Draw(t, "one each") == 0}
		p, err := Find(b, arrivals, stocking.DefaultWanted, tanks, o)
		if err != nil {
			t.Fatal(err)
		}
		var units [][]int
		for i := range p.Arrivals {
			units = append(units, p.Arrivals[i].Refs)
		}
		lost, harm := byAllWays(b, units, arrivals, tanks, o.OneEach)
		if math.Abs(p.Lost-lost) > 1e-5 || math.Abs(p.Harm-harm) > 1e-4 || !p.Optimal || p.LostBound != p.Lost || p.HarmBound != p.Harm {
			t.Fatalf("lost %v, harm %v (bounds %v, %v; optimal %v); trying all ways %v, %v", p.Lost, p.Harm, p.LostBound, p.HarmBound, p.Optimal, lost, harm)
		}
	})
}

func TestWhatIsPlacedPassesItsOwnCheckAndTheRestIsExplained(t *testing.T) {
	b := testfish.Book(t)
	rapid.Check(t, func(t *rapid.T) {
		arrivals, tanks := drawArrivals(t, b, 9), drawAdopters(t, b, 6)
		drawWishes(t, arrivals, tanks)
		p, err := Find(b, arrivals, stocking.DefaultWanted, tanks, Options{NodeLimit: 200})
		if err != nil {
			t.Fatal(err)
		}
		if p.Lost < p.LostBound-nearZero || p.Optimal != (p.Lost == p.LostBound && p.Harm == p.HarmBound) {
			t.Fatalf("lost %v of at least %v, harm %v of at least %v, optimal %v", p.Lost, p.LostBound, p.Harm, p.HarmBound, p.Optimal)
		}
		in := map[int][]int{}
		for _, a := range p.Arrivals {
			if a.Tank >= 0 {
				in[a.Tank] = append(in[a.Tank], a.Refs...)
			}
			explained(t, &a, p.Complete)
		}
		for _, tank := range p.Tanks {
			refs := in[tank.Tank]
			slices.Sort(refs)
			c, err := stocking.Judge(b, stockWith(&tanks[tank.Tank], refs, arrivals))
			if math.Abs(tank.Parts.Sum()-tank.Harm) > 1e-6 || !takes(b, &tanks[tank.Tank].Wishes, refs, arrivals) {
				t.Fatalf("tank %d: harm %v of %+v; takes %v", tank.Tank, tank.Harm, tank.Parts, tanks[tank.Tank].Wishes)
			}
			if err != nil || c.Decision == stocking.Hold || c.Decision != tank.Decision || !slices.Equal(refs, tank.Refs) {
				t.Fatalf("tank %d: %v, its check %v (%v); %v in it, told %v", tank.Tank, tank.Decision, c.Decision, err, refs, tank.Refs)
			}
		}
		if len(in) != len(p.Tanks) {
			t.Fatalf("%d tanks take fish, %d are told of", len(in), len(p.Tanks))
		}
	})
}

func explained(t *rapid.T, a *Placed, complete bool) {
	words := wording.English(false).With(English)
	why := strings.NewReplacer("{tank}", "T", "{reason}", words.Sentence(a.Why.Reason)).Replace(words.Sentence(a.Why.Statement))
	if len(why) < 8 || strings.ContainsAny(why, "{}") || complete && a.Why.Code == WhyUntried || strings.HasSuffix(why, ": ") {
		t.Fatalf("why: %q (%s)", why, a.Why.Code)
	}
	if a.Tank >= 0 && (a.Options[0].Tank != a.Tank || !a.Options[0].Fits) {
		t.Fatalf("it goes to %d, and is told first of %+v", a.Tank, a.Options[0])
	}
	for i, o := range a.Options {
		if text := wording.English(true).With(English).Sentence(o.Reason); len(text) < 8 || strings.ContainsAny(text, "{}") {
			t.Fatalf("the reason is %q (%s)", text, o.Reason.Code)
		}
		wish := strings.HasPrefix(string(o.Reason.Code), "wish.")
		if o.Fits != (i < a.Fitting) || o.Fits == (o.Decision == stocking.Hold || wish) {
			t.Fatalf("option %d of %d fitting: %+v", i, a.Fitting, o)
		}
	}
}

func TestTheOrderOfArrivalsChangesNeitherHarmNorLoss(t *testing.T) {
	b := testfish.Book(t)
	rapid.Check(t, func(t *rapid.T) {
		arrivals, tanks := drawArrivals(t, b, 5), drawAdopters(t, b, 3)
		one, err1 := Find(b, arrivals, stocking.DefaultWanted, tanks, Options{})
		two, err2 := Find(b, rapid.Permutation(arrivals).Draw(t, "order"), stocking.DefaultWanted, tanks, Options{})
		if err1 != nil || err2 != nil || !one.Optimal || !two.Optimal || math.Abs(one.Lost-two.Lost) > 1e-5 || math.Abs(one.Harm-two.Harm) > 1e-4 {
			t.Fatalf("%v %v: %v and %v lost, harm %v and %v", err1, err2, one.Lost, two.Lost, one.Harm, two.Harm)
		}
	})
}

func TestAFurtherTankNeverMakesAPlacementWorse(t *testing.T) {
	b := testfish.Book(t)
	rapid.Check(t, func(t *rapid.T) {
		arrivals, tanks := drawArrivals(t, b, 4), drawAdopters(t, b, 3)
		more, _ := Find(b, arrivals, stocking.DefaultWanted, tanks, Options{})
		less, err := Find(b, arrivals, stocking.DefaultWanted, tanks[:max(1, len(tanks)-1)], Options{})
		if err != nil || more.Lost > less.Lost+1e-5 || more.Lost > less.Lost-1e-5 && more.Harm > less.Harm+1e-4 {
			t.Fatalf("%v: lost %v instead of %v, harm %v instead of %v", err, more.Lost, less.Lost, more.Harm, less.Harm)
		}
	})
}

func TestAdviceAboutAnArrivalCountsAsTenPoints(t *testing.T) {
	b := testfish.WorldOf(t, testfish.Altered("Leaper", func(sp *species.Species) { sp.Traits[species.Jumping] = testfish.Exactly(0.9) }))
	open, lid := home(120, 50, 50), false
	open.Tank.Lid = &lid
	fish := arriving(stocking.Line{Index: 0, Count: 1})
	covered, other := mustPlace(t, b, fish, []Adopter{home(120, 50, 50)}, Options{}), mustPlace(t, b, fish, []Adopter{open}, Options{})
	if covered.Harm != 0 || other.Harm != 10 {
		t.Errorf("harm %v under a lid and %v without", covered.Harm, other.Harm)
	}
}
