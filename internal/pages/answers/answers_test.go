package answers

import (
	"math"
	"strings"
	"sync"
	"testing"

	"commensal/db"
	"commensal/internal/conflict"
	"commensal/internal/pages/links"
	"commensal/internal/species"
	"commensal/internal/species/catalogue"
)

var desk = sync.OnceValue(func() *Desk {
	c, err := catalogue.Parse(db.CatalogueFS())
	if err != nil {
		panic(err)
	}
	snapshot, err := species.NewSnapshot(1, c)
	if err != nil {
		panic(err)
	}
	model, err := conflict.Default()
	if err != nil {
		panic(err)
	}
	return NewDesk(conflict.NewBook(model, snapshot))
})

func id(t *testing.T, name string) string {
	t.Helper()
	n := desk().Resolve(name)
	if !n.Found {
		t.Fatalf("%q is not in the catalogue", name)
	}
	return n.Kind.ID
}

// somePairs are pairs of every level and main reason there is among every fortieth kind.
func somePairs() (out []Pairing) {
	d := desk()
	for i := 0; i < d.Kinds(); i += 40 {
		for j := i; j < d.Kinds(); j += 40 {
			p, _ := d.Pair(links.Pair{First: string(d.book.Snapshot.At(i).ID), Second: string(d.book.Snapshot.At(j).ID)})
			out = append(out, p)
		}
	}
	return out
}

func TestSharesAddUpToTheScoreToATenth(t *testing.T) {
	for _, p := range somePairs() {
		sum := 0.0
		for _, f := range p.Factors {
			sum += f.Share
		}
		if math.Abs(sum-p.Score) > 1e-9*100 {
			t.Errorf("%s and %s: %v, not %v", p.Kinds[0].ID, p.Kinds[1].ID, sum, p.Score)
		}
		if p.Low > p.Score+.06 || p.High < p.Score-.06 || p.Sentence == "" || strings.Contains(p.Sentence, "{") {
			t.Errorf("%s and %s: %v in %v to %v, %q", p.Kinds[0].ID, p.Kinds[1].ID, p.Score, p.Low, p.High, p.Sentence)
		}
	}
}

// TestARemedysLinkLeadsWhereItSays follows the link of each remedy and judges again.
func TestARemedysLinkLeadsWhereItSays(t *testing.T) {
	followed := 0
	for _, p := range somePairs() {
		for _, r := range p.Remedies {
			if r.Asked == nil {
				continue
			}
			followed++
			if again, ok := desk().Pair(*r.Asked); !ok || again.Level != r.Level || math.Abs(again.Score-r.Score) > .2 {
				t.Errorf("%s: %s promises %s %v, is %s %v", r.Asked.Path(), r.Code, r.Level, r.Score, again.Level, again.Score)
			}
		}
	}
	if followed == 0 {
		t.Error("no remedy was followed")
	}
}

func TestAPairInAListIsTheQuestionOfItsPage(t *testing.T) {
	l := links.List{Residents: []links.Line{{Name: id(t, "oscar"), Count: 1}, {Name: id(t, "neon tetra"), Count: 10}}}
	answer, err := desk().List(l.Canonical())
	if err != nil {
		t.Fatal(err)
	}
	if len(answer.Pairs) == 0 || answer.Pairs[0].Level != "severe" || answer.Decision != "hold" {
		t.Fatalf("%+v", answer.Pairs)
	}
	p, ok := desk().Pair(answer.Pairs[0].Asked)
	if !ok || p.Level != answer.Pairs[0].Level {
		t.Errorf("the page says %s, the list %s", p.Level, answer.Pairs[0].Level)
	}
	if answer.Problems[0].Severity != "stop" || answer.Problems[0].Pair == nil || len(answer.Problems[0].Kinds) != 2 {
		t.Errorf("the gravest is %+v", answer.Problems[0])
	}
	if len(answer.LeaveOut) == 0 || len(answer.Offers) == 0 || answer.Offers[0].Decision == "hold" {
		t.Errorf("nothing helps: %+v %+v", answer.LeaveOut, answer.Offers)
	}
}

func TestProblemsComeGravestFirst(t *testing.T) {
	l := links.List{Residents: []links.Line{{Name: id(t, "oscar"), Count: 2}, {Name: id(t, "neon tetra"), Count: 2}, {Name: id(t, "goldfish"), Count: 1}}}
	l.Tank.VolumeL = 100
	answer, err := desk().List(l.Canonical())
	if err != nil {
		t.Fatal(err)
	}
	gravity := map[string]int{"stop": 0, "advice": 1, "note": 2}
	for i := 1; i < len(answer.Problems); i++ {
		if gravity[answer.Problems[i].Severity] < gravity[answer.Problems[i-1].Severity] {
			t.Errorf("%s comes after %s", answer.Problems[i].Code, answer.Problems[i-1].Code)
		}
	}
}

func TestCompanyWorthNamingIsGoodCompany(t *testing.T) {
	for _, name := range []string{"neon tetra", "oscar", "goldfish", "cherry shrimp"} {
		c, ok := desk().Company(id(t, name))
		total := 0
		for _, n := range c.Counts {
			total += n
		}
		if !ok || total != desk().Kinds()-1 {
			t.Errorf("%s: %d kinds counted", name, total)
		}
		for _, n := range c.Good {
			p, _ := desk().Pair(links.Pair{First: id(t, name), Second: n.Kind.ID})
			if p.Level != "low" {
				t.Errorf("%s goes with %s at %s", name, n.Kind.Name, p.Level)
			}
			for _, s := range p.Scales {
				if s.Shared != nil && len(s.Bars) > 1 && s.Preferred == nil {
					t.Errorf("%s goes with %s, and they prefer other %s", name, n.Kind.Name, s.Key())
				}
			}
		}
		for _, n := range c.Poor {
			if n.Level != "high" && n.Level != "severe" {
				t.Errorf("%s does not go with %s at %s", name, n.Kind.Name, n.Level)
			}
		}
	}
}

func TestGrowthEndsAtTheAdultLength(t *testing.T) {
	p, _ := desk().Pair(links.Pair{First: id(t, "oscar"), Second: id(t, "neon tetra")})
	g := desk().PairGrowth(p.Asked)
	if g == nil || len(g.Curves) != 2 || g.FromAge != shopAge {
		t.Fatalf("%+v", g)
	}
	for _, c := range g.Curves {
		for m := 1; m < len(c.CM); m++ {
			if c.CM[m] < c.CM[m-1] {
				t.Errorf("%s shrinks in month %d", c.Kind.Name, m)
			}
		}
	}
	for i := 1; i < len(g.Events); i++ {
		if g.Events[i].Month < g.Events[i-1].Month {
			t.Error("moments are out of order")
		}
	}
}

// TestNoIdEndsLikeAMark keeps links unambiguous: what stands behind a name in a link must
// never be the end of an id.
func TestNoIdEndsLikeAMark(t *testing.T) {
	for i := range desk().Kinds() {
		sp := desk().book.Snapshot.At(i)
		l, faults := links.ReadList("3-" + string(sp.ID) + "-male-2.5cm-4mo")
		if len(faults) > 0 || l.Residents[0] != (links.Line{Count: 3, Name: string(sp.ID), Sex: species.Male, LengthCM: 2.5, AgeMonths: 4}) {
			t.Errorf("%s is read as %+v %v", sp.ID, l.Residents, faults)
		}
	}
}

func TestWhatIsUnknownIsRefused(t *testing.T) {
	if _, ok := desk().Pair(links.Pair{First: "nobody", Second: "neither"}); ok {
		t.Error("a pair of nobodies is judged")
	}
	if _, err := desk().List(links.List{Residents: []links.Line{{Name: "nobody"}}}); err == nil {
		t.Error("a list of nobodies is judged")
	}
	if _, err := desk().List(links.List{}); err == nil {
		t.Error("an empty list is judged")
	}
	if desk().ListGrowth(links.List{Residents: []links.Line{{Name: "nobody"}}}) != nil {
		t.Error("nobody grows")
	}
}
