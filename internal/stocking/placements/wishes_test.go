package placements

import (
	"strings"
	"testing"

	"commensal/internal/conflict"
	"commensal/internal/stocking"
	"commensal/internal/stocking/stockingtest"
	"commensal/internal/stocking/testfish"
	"commensal/internal/stocking/wording"
)

// told is a statement in words.
func told(s conflict.Statement) string { return wording.English(false).With(English).Sentence(s) }

func TestAKeepersWishesAreKeptTo(t *testing.T) {
	b := testfish.Book(t)
	corys := stockingtest.Some(t, "hoplisoma-panda", 8)
	for name, c := range map[string]struct {
		wishes Wishes
		reason string
	}{
		"not wanted":        {Wishes{NotWanted: []int{corys.Index}}, "The keeper does not want panda corys."},
		"too many":          {Wishes{AtMost: 7}, "The keeper takes 7 fish at most, and this makes 8."},
		"too many of these": {Wishes{AtMostOf: map[int]int{corys.Index: 6}}, "The keeper takes 6 panda corys at most, and this makes 8."},
	} {
		first, second := home(120, 50, 50), home(45, 30, 30)
		first.Wishes = c.wishes
		p := mustPlace(t, b, arriving(corys), []Adopter{first, second}, Options{})
		got := p.Arrivals[0]
		if got.Tank != -1 || got.Why.Code != WhyNowhere || got.Why.Tank != 0 || told(got.Why.Reason) != c.reason {
			t.Errorf("%s: %+v, %q", name, got, told(got.Why.Reason))
		}
	}
	exactly := home(120, 50, 50)
	exactly.Wishes = Wishes{AtMost: 8, AtMostOf: map[int]int{corys.Index: 8}}
	if p := mustPlace(t, b, arriving(corys), []Adopter{exactly}, Options{}); p.Arrivals[0].Tank != 0 || p.Harm != p.Parts.Pairings {
		t.Errorf("as many as wished: %+v", p)
	}
}

func TestAWishDecidesBetweenTanksThatAreAsGood(t *testing.T) {
	b := testfish.Book(t)
	corys := stockingtest.Some(t, "hoplisoma-panda", 8)
	asking := home(120, 50, 50)
	asking.Wishes.Wanted = []int{corys.Index}
	tanks := []Adopter{home(120, 50, 50), asking}
	p := mustPlace(t, b, arriving(corys), tanks, Options{})
	got := p.Arrivals[0]
	if got.Tank != 1 || got.Why.Code != WhyWanted || p.Parts.Wishes != 0 || got.Options[0].Wanted == nil || !*got.Options[0].Wanted || got.Options[1].Wanted != nil {
		t.Errorf("%+v", got)
	}
	tanks[1] = home(45, 30, 30) // too small for them, whatever its keeper wishes
	tanks[1].Wishes.Wanted = []int{corys.Index}
	p = mustPlace(t, b, arriving(corys), tanks, Options{})
	if p.Arrivals[0].Tank != 0 || p.Parts.Wishes != 5 || p.Harm != p.Parts.Sum() {
		t.Errorf("%+v %+v", p.Arrivals[0], p.Parts)
	}
	var said []string
	for _, s := range p.Parts.Statements() {
		said = append(said, told(s))
	}
	if text := strings.Join(said, " "); !strings.Contains(text, "5 for lines that another keeper asks for") {
		t.Error(text)
	}
}

// The chosen tank need not be the best for the fish alone: it is told of all the same.
func TestTheChosenTankIsToldOfFirst(t *testing.T) {
	b := testfish.Book(t)
	male := stockingtest.Some(t, "betta-splendens", 1)
	p := mustPlace(t, b, arriving(male, male), []Adopter{home(60, 30, 36), home(80, 35, 40), home(120, 50, 50)}, Options{Options: 1, OneEach: true})
	for _, a := range p.Arrivals {
		if a.Tank < 0 || len(a.Options) != 1 || a.Options[0].Tank != a.Tank {
			t.Errorf("%+v", a)
		}
	}
	three := mustPlace(t, b, arriving(male, male, male), []Adopter{home(60, 30, 36), home(80, 35, 40)}, Options{OneEach: true})
	out := 0
	for _, a := range three.Arrivals {
		if a.Tank < 0 {
			out++
			if a.Why.Code != WhyTaken || told(a.Why.Statement) != "2 of the tanks could take it, but each takes one line and has another." {
				t.Errorf("%+v", a.Why)
			}
		}
	}
	if out != 1 {
		t.Errorf("%d without a tank", out)
	}
}

func TestWhoDoesNotFitBesideOthersIsToldWhich(t *testing.T) {
	b := testfish.Book(t)
	fish := arriving(stockingtest.Some(t, "astronotus-ocellatus", 1), stockingtest.Some(t, "paracheirodon-innesi", 12))
	p := mustPlace(t, b, fish, []Adopter{home(180, 60, 60)}, Options{})
	for _, a := range p.Arrivals {
		if a.Tank < 0 && (a.Why.Code != WhyBeside || a.Why.Tank != 0 || !strings.Contains(told(a.Why.Reason), "eat")) {
			t.Errorf("%+v: %s", a.Why, told(a.Why.Reason))
		}
	}
	if p.Lost != 1 {
		t.Errorf("%+v", p)
	}
}

func TestTheLawOfTheRegionIsKeptTo(t *testing.T) {
	b := testfish.Book(t)
	crayfish := stockingtest.Some(t, "procambarus-clarkii", 1)
	p := mustPlace(t, b, arriving(crayfish), []Adopter{home(120, 50, 50)}, Options{Region: "DE"})
	if a := p.Arrivals[0]; a.Tank != -1 || a.Why.Reason.Code != stocking.LawForbids {
		t.Errorf("%+v", a)
	}
}
