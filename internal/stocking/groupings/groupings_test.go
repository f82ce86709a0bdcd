package groupings

import (
	"slices"
	"strings"
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"
	"commensal/internal/stocking/wording"
)

func mustGroup(t testing.TB, b *conflict.Book, s stocking.Stock, tanks ...stocking.Tank) Groupings {
	t.Helper()
	g, err := Find(b, s, tanks, Options{})
	if err != nil {
		t.Fatal(err)
	}
	return g
}

func namesOf(b *conflict.Book, g *Groupings, lines []int) string {
	names := make([]string, len(lines))
	for k, i := range lines {
		names[k] = string(b.Snapshot.At(g.Lines[i].Index).ID)
	}
	slices.Sort(names)
	return strings.Join(names, " ")
}

func groupNames(b *conflict.Book, g *Groupings) (out []string) {
	for i := range g.Groups {
		out = append(out, namesOf(b, g, g.Groups[i].Lines))
	}
	slices.Sort(out)
	return out
}

func TestAListIsSplitOverTheFewestTanks(t *testing.T) {
	b := testfish.Book(t)
	for _, c := range []struct {
		name  string
		lines []stocking.Line
		want  []string
	}{
		{"a community stays together", []stocking.Line{stockingtest.Some(t, "paracheirodon-innesi", 10), stockingtest.Some(t, "hoplisoma-panda", 6)},
			[]string{"hoplisoma-panda paracheirodon-innesi"}},
		{"a predator gets a tank of its own", []stocking.Line{stockingtest.Some(t, "paracheirodon-innesi", 10), stockingtest.Some(t, "hoplisoma-panda", 6), stockingtest.Some(t, "astronotus-ocellatus", 1)},
			[]string{"astronotus-ocellatus", "hoplisoma-panda paracheirodon-innesi"}},
		{"waters that do not meet part a list", []stocking.Line{stockingtest.Some(t, "paracheirodon-axelrodi", 10), stockingtest.Some(t, "tropheus-duboisi", 15)},
			[]string{"paracheirodon-axelrodi", "tropheus-duboisi"}},
		{"a single line is a single tank", []stocking.Line{stockingtest.Some(t, "paracheirodon-innesi", 10)}, []string{"paracheirodon-innesi"}},
	} {
		g := mustGroup(t, b, stocking.Stock{Lines: c.lines, Wanted: conflict.Moderate})
		if got := groupNames(b, &g); !slices.Equal(got, c.want) || !g.Optimal || g.LowerBound != len(c.want) || g.Unplaced != nil {
			t.Errorf("%s: %q, optimal %v, bound %d, unplaced %v", c.name, got, g.Optimal, g.LowerBound, g.Unplaced)
		}
	}
}

func TestATankIsAsLargeAsItsLargestMemberNeeds(t *testing.T) {
	b := testfish.Book(t)
	g := mustGroup(t, b, stocking.Stock{Lines: []stocking.Line{stockingtest.Some(t, "paracheirodon-innesi", 10), stockingtest.Some(t, "astronotus-ocellatus", 1)}, Wanted: conflict.Moderate})
	for i := range g.Groups {
		group := &g.Groups[i]
		sp := b.Snapshot.At(g.Lines[group.Lines[0]].Index)
		need := sp.Traits[species.TankLength].Typical
		if group.Size == nil || group.Size.LengthCM < need || group.Tank != -1 {
			t.Errorf("%s needs %v cm, got %+v", sp.ID, need, group.Size)
		}
	}
}

func TestFishThatFightTheirOwnKindArePlacedNowhereTogether(t *testing.T) {
	b := testfish.Book(t)
	males := stockingtest.Some(t, "betta-splendens", 3)
	males.Sex = species.Male
	g := mustGroup(t, b, stocking.Stock{Lines: []stocking.Line{males, stockingtest.Some(t, "paracheirodon-innesi", 10)}, Wanted: conflict.Moderate})
	if len(g.Unplaced) != 1 || len(g.Groups) != 1 || g.Unplaced[0].With != stocking.OwnKind || g.Unplaced[0].Tank != -1 {
		t.Fatalf("%+v", g)
	}
	if text := wording.English(false).Sentence(g.Unplaced[0].Reason); !strings.Contains(text, "own kind") {
		t.Errorf("the reason is %q", text)
	}
}

func TestSeveralMalesListedApartGetATankEach(t *testing.T) {
	b := testfish.Book(t)
	var lines []stocking.Line
	for _, length := range []float64{5, 5.5, 6} {
		l := stockingtest.Some(t, "betta-splendens", 1)
		l.Sex, l.LengthCM = species.Male, length
		lines = append(lines, l)
	}
	g := mustGroup(t, b, stocking.Stock{Lines: lines, Wanted: conflict.Moderate})
	if len(g.Groups) != 3 || !g.Optimal || len(g.Unplaced) != 0 {
		t.Errorf("%d groups, optimal %v, unplaced %v", len(g.Groups), g.Optimal, g.Unplaced)
	}
}

func TestAShoalListedInTwoLinesStaysTogether(t *testing.T) {
	b := testfish.Book(t)
	young, old := stockingtest.Some(t, "paracheirodon-innesi", 50), stockingtest.Some(t, "paracheirodon-innesi", 50)
	young.LengthCM, old.LengthCM = 3.4, 3.5
	small := *stockingtest.GoodTank() // crowded by a hundred, not by fifty
	small.LengthCM, small.WidthCM, small.HeightCM = 60, 30, 60
	small.Reading[species.Salinity] = conflict.Reading{}
	s := stocking.Stock{Lines: []stocking.Line{young, old}, Tank: &small, Wanted: conflict.Moderate}
	if j := stocking.NewAssessment(b, &s); j.Judge() == stocking.Hold || !j.Crowded() {
		t.Fatalf("the shoal is %v and not crowded", j.Decision)
	}
	g := mustGroup(t, b, s, small, small)
	if len(g.Groups) != 1 || len(g.Groups[0].Lines) != 2 {
		t.Errorf("the shoal is split: %+v, unplaced %+v", g.Groups, g.Unplaced)
	}
}

func TestEveryLineIsAssignedToAGivenTankOrExplained(t *testing.T) {
	b := testfish.Book(t)
	community, big := *stockingtest.GoodTank(), *stockingtest.GoodTank()
	big.LengthCM, big.WidthCM, big.HeightCM = 200, 70, 60
	list := []stocking.Line{stockingtest.Some(t, "paracheirodon-innesi", 10), stockingtest.Some(t, "hoplisoma-panda", 6), stockingtest.Some(t, "astronotus-ocellatus", 1), stockingtest.Some(t, "tropheus-duboisi", 15)}
	g := mustGroup(t, b, stocking.Stock{Lines: list, Wanted: conflict.Moderate}, community, big)
	for i := range g.Groups {
		group := &g.Groups[i]
		if name := namesOf(b, &g, group.Lines); strings.Contains(name, "astronotus") && (group.Tank != 1 || len(group.Lines) != 1) {
			t.Errorf("the oscar is in tank %d with %s", group.Tank, name)
		}
	}
	if len(g.Unplaced) != 1 || namesOf(b, &g, g.Unplaced[0].Lines) != "tropheus-duboisi" || g.Lost != 1 || !g.Optimal {
		t.Fatalf("unplaced %+v, lost %v, optimal %v", g.Unplaced, g.Lost, g.Optimal)
	}
	if text := wording.English(false).Sentence(g.Unplaced[0].Reason); len(text) < 8 || strings.ContainsAny(text, "{}") {
		t.Errorf("the reason is %q", text)
	}
}

func TestTheHeavierLineGetsTheOnlyTank(t *testing.T) {
	b := testfish.Book(t)
	neons, oscar := stockingtest.Some(t, "paracheirodon-innesi", 10), stockingtest.Some(t, "astronotus-ocellatus", 1)
	big := *stockingtest.GoodTank()
	big.LengthCM, big.WidthCM, big.HeightCM = 200, 70, 60
	for _, c := range []struct {
		weight float64
		want   string
	}{{5, "astronotus-ocellatus"}, {0.5, "paracheirodon-innesi"}} {
		oscar.Weight = c.weight
		g := mustGroup(t, b, stocking.Stock{Lines: []stocking.Line{neons, oscar}, Wanted: conflict.Moderate}, big)
		if got := groupNames(b, &g); len(got) != 1 || got[0] != c.want {
			t.Errorf("weight %v: %q", c.weight, got)
		}
		if len(g.Unplaced) != 1 || g.Unplaced[0].With < 0 || g.Unplaced[0].Tank != 0 {
			t.Errorf("weight %v: unplaced %+v", c.weight, g.Unplaced)
		}
	}
}

func TestListsAndTanksThatCannotBeJudgedAreRefused(t *testing.T) {
	b := testfish.Book(t)
	good := stocking.Stock{Lines: []stocking.Line{stockingtest.Some(t, "paracheirodon-innesi", 10)}}
	for _, c := range []struct {
		name  string
		s     stocking.Stock
		tanks []stocking.Tank
	}{
		{"an empty list", stocking.Stock{}, nil},
		{"an unknown species", stocking.Stock{Lines: []stocking.Line{{Index: -1}}}, nil},
		{"a tank of no size", good, []stocking.Tank{{Tank: conflict.Tank{LengthCM: -1}}}},
		{"too many tanks", good, make([]stocking.Tank, MaxTanks+1)},
	} {
		_, err := Find(b, c.s, c.tanks, Options{})
		if _, ok := err.(*stocking.InputError); !ok {
			t.Errorf("%s: %v", c.name, err)
		}
	}
}

func TestASplitSaysInOneSentenceHowFarItGoes(t *testing.T) {
	b := testfish.Book(t)
	neons, oscar, bettas := stockingtest.Some(t, "paracheirodon-innesi", 12), stockingtest.Some(t, "astronotus-ocellatus", 1), stockingtest.Some(t, "betta-splendens", 3)
	bettas.Sex = species.Male
	small, large := *stocking.TankOf(conflict.StandardTanks[3]), *stocking.TankOf(conflict.TankSize{LengthCM: 180, WidthCM: 60, HeightCM: 60})
	for _, c := range []struct {
		lines []stocking.Line
		tanks []stocking.Tank
		want  string
	}{
		{[]stocking.Line{neons}, nil, "One tank holds them all."},
		{[]stocking.Line{neons, oscar}, nil, "2 tanks hold them all, and fewer cannot."},
		{[]stocking.Line{neons, bettas}, nil, "Tanks needed: 1, for 1 of the 2 lines; the others cannot be kept as they are given."},
		{[]stocking.Line{bettas}, nil, "Nothing on this list can be kept as it is given."},
		{[]stocking.Line{neons}, []stocking.Tank{large}, "Everything finds a place in the tanks given."},
		{[]stocking.Line{neons, oscar}, []stocking.Tank{large}, "A place for 1 of the 2 lines in the tanks given; no other split does better."},
		{[]stocking.Line{oscar}, []stocking.Tank{small}, "Nothing finds a place in the tanks given."},
	} {
		g := mustGroup(t, b, stocking.Stock{Lines: c.lines, Wanted: stocking.DefaultWanted}, c.tanks...)
		if got := wording.English(false).With(English).Sentence(g.Summary); got != c.want || (g.Gap() == 0) != g.Optimal {
			t.Errorf("%q, want %q (gap %v, optimal %v)", got, c.want, g.Gap(), g.Optimal)
		}
	}
}

func TestASplitCarriesTheCautionsOfAllOnceAndTheGuidanceLast(t *testing.T) {
	b := testfish.Book(t)
	g := mustGroup(t, b, stocking.Stock{Lines: []stocking.Line{stockingtest.Some(t, "paracheirodon-innesi", 12), stockingtest.Some(t, "astronotus-ocellatus", 1), stockingtest.Some(t, "malapterurus-electricus", 1)}, Wanted: stocking.DefaultWanted})
	seen := map[conflict.CautionNote]bool{}
	electric := false
	for _, c := range g.Cautions {
		if seen[c] {
			t.Errorf("%+v is said twice", c)
		}
		seen[c], electric = true, electric || c.Code == species.Electric
	}
	if !electric || g.Cautions[len(g.Cautions)-1].Code != conflict.Guidance {
		t.Errorf("%+v", g.Cautions)
	}
}

func TestOnlyAHeldListOfTwoLinesOrMoreIsSplitBesideItsCheck(t *testing.T) {
	b := testfish.Book(t)
	for _, c := range []struct {
		name  string
		lines []stocking.Line
		want  bool
	}{
		{"a calm list", []stocking.Line{stockingtest.Some(t, "paracheirodon-innesi", 12), stockingtest.Some(t, "hoplisoma-panda", 8)}, false},
		{"a held list", []stocking.Line{stockingtest.Some(t, "paracheirodon-innesi", 12), stockingtest.Some(t, "astronotus-ocellatus", 1)}, true},
		{"a held single line", []stocking.Line{stockingtest.Some(t, "betta-splendens", 3)}, false},
		{"a very long list", spread(b, MaxCheckedLines+1).Lines, false},
	} {
		s := stocking.Stock{Lines: c.lines, Wanted: stocking.DefaultWanted}
		check, err := stocking.Judge(b, s)
		if err != nil {
			t.Fatal(err)
		}
		if got := SplitIfHeld(b, s, &check); (got != nil) != c.want {
			t.Errorf("%s: %s with %+v", c.name, check.Decision, got)
		}
	}
}

// Residents stay together in their own tank where that takes no more tanks, and what a check holds for one another is
// not put together again, though a larger tank might bear it.
func TestResidentsStayWhereTheyAre(t *testing.T) {
	b := testfish.Book(t)
	s := stocking.Stock{Lines: []stocking.Line{stockingtest.Some(t, "neon tetra", 10), stockingtest.Some(t, "cherry shrimp", 10), stockingtest.Some(t, "oscar", 1)},
		Tank: stocking.TankOf(conflict.TankSize{LengthCM: 83, WidthCM: 36, HeightCM: 41}), Wanted: stocking.DefaultWanted}
	s.Lines[2].Incoming = true
	check := stockingtest.MustJudge(t, b, s)
	got := SplitIfHeld(b, s, &check)
	if got == nil {
		t.Fatalf("no split of a list that is %v", check.Decision)
	}
	stay := 0
	for i := range got.Groups {
		g := &got.Groups[i]
		joins := slices.ContainsFunc(g.Lines, func(l int) bool { return check.Lines[l].Incoming })
		lives := slices.ContainsFunc(g.Lines, func(l int) bool { return !check.Lines[l].Incoming })
		switch {
		case joins && lives:
			t.Errorf("an oscar with its prey: %v", g.Lines)
		case lives && (len(g.Lines) != 2 || g.Size == nil || g.Size.LengthCM != 83 || g.Size.HeightCM != 41):
			t.Errorf("residents are moved: %v into %v", g.Lines, g.Size)
		case lives:
			stay++
		}
	}
	if stay != 1 || got.LowerBound > len(got.Groups) {
		t.Errorf("%+v", got)
	}
}
