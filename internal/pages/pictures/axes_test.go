package pictures

import (
	"math"
	"strings"
	"testing"

	"commensal/internal/pages/answers"
	"commensal/internal/pages/links"
)

// axisOf reads the scale of a picture back from its ticks: value by pixel.
func axisOf(t *testing.T, ticks []Mark) func(x float64) float64 {
	t.Helper()
	if len(ticks) < 2 {
		t.Fatal("an axis needs two ticks")
	}
	a, b := ticks[0], ticks[len(ticks)-1]
	xa, xb := a.Path.Bounds().X0, b.Path.Bounds().X0
	return func(x float64) float64 { return a.From + (x-xa)/(xb-xa)*(b.From-a.From) }
}

func near(t *testing.T, what string, got, want, scale float64) {
	t.Helper()
	if math.Abs(got-want) > scale {
		t.Errorf("%s is drawn at %.3f, stands for %.3f", what, got, want)
	}
}

// TestWaterEndsWhereItsNumbersSay reads every bar back from the pixels: the bar that says
// 24 to 28 °C ends at 24 and 28.
func TestWaterEndsWhereItsNumbersSay(t *testing.T) {
	d := theDesk(t)
	for _, names := range [][2]string{{"betta splendens", "neon tetra"}, {"goldfish", "discus"}, {"oscar", "guppy"}} {
		a, b := d.Resolve(names[0]), d.Resolve(names[1])
		q := links.Pair{First: a.Kind.ID, Second: b.Kind.ID}
		q.Tank.Water[0] = links.Reading{Value: 25, Known: true}
		p, _ := d.Pair(q)
		for _, width := range []float64{252, 600} {
			for i := range p.Scales {
				checkScale(t, &p.Scales[i], width)
			}
		}
	}
}

func checkScale(t *testing.T, scale *answers.Scale, width float64) {
	t.Helper()
	s := Water(english, []answers.Scale{*scale}, width)
	value := axisOf(t, marks(s, "tick"))
	from, to := domain(scale)
	pixel := (to - from) / (width - 20) * 1.1
	tolerated, preferred := marks(s, "tolerates"), marks(s, "prefers")
	for i, b := range scale.Bars {
		for _, c := range []struct {
			m    Mark
			low  float64
			high float64
		}{{tolerated[i], b.Tolerated.Low, b.Tolerated.High}, {preferred[i], b.Preferred.Low, b.Preferred.High}} {
			bounds := c.m.Path.Bounds()
			near(t, c.m.Name+" "+c.m.Of+" low", value(bounds.X0), c.low, pixel)
			near(t, c.m.Name+" "+c.m.Of+" high", value(bounds.X1), c.high, pixel)
			if c.m.From != c.low || c.m.To != c.high {
				t.Errorf("%s %s says %v to %v", c.m.Name, c.m.Of, c.m.From, c.m.To)
			}
		}
	}
	for _, m := range marks(s, "suits") {
		near(t, "what suits all, low", value(m.Path.Bounds().X0), scale.Shared.Low, pixel)
		near(t, "what suits all, high", value(m.Path.Bounds().X1), scale.Shared.High, pixel)
	}
	for _, m := range marks(s, "reading") {
		near(t, "the reading", value(m.Path.Bounds().X0), *scale.Reading, pixel)
	}
}

func TestAnimalsAreToScale(t *testing.T) {
	p := pair(t, "oscar", "neon tetra")
	s := Sizes(english, p, 400)
	value := axisOf(t, marks(s, "tick"))
	for _, m := range marks(s, "animal") {
		b := m.Path.Bounds()
		near(t, m.Of+" length", value(b.X1)-value(b.X0), m.To, .6)
	}
	limits := marks(s, "swallows")
	if len(limits) == 0 {
		t.Fatal("no limit is drawn for a pair of which one eats the other")
	}
	for _, m := range limits {
		near(t, "swallows up to", value(m.Path.Bounds().X0), p.Bodies[Hunter(p)].PreyCM, .2)
	}
}

func TestTheWaterfallEndsAtTheScore(t *testing.T) {
	for _, names := range [][2]string{{"oscar", "neon tetra"}, {"betta splendens", "guppy"}, {"neon tetra", "cherry shrimp"}, {"betta splendens", "neon tetra"}} {
		p := pair(t, names[0], names[1])
		steps := Steps(p)
		at := 0.0
		for _, b := range steps {
			if math.Abs(b.From-at) > 1e-9 {
				t.Errorf("%v: %s begins at %v, not at %v", names, b.Key, b.From, at)
			}
			at = b.To
		}
		near(t, "the end", at, p.Score, .05)
		s := Why(english, p, 288)
		value := axisOf(t, marks(s, "tick"))
		for _, m := range append(marks(s, "score"), marks(s, "band")...) {
			near(t, m.Name+" low", value(m.Path.Bounds().X0), m.From, .6)
			near(t, m.Name+" high", value(m.Path.Bounds().X1), m.To, .6)
		}
	}
}

func TestTheFloorIsToScale(t *testing.T) {
	tank := answers.Tank{LengthCM: 60, WidthCM: 30, NeededLengthCM: 150, NeededWidthCM: 60}
	s := Space(english, &tank, 400)
	there, needed := marks(s, "there")[0].Path.Bounds(), marks(s, "needed")[0].Path.Bounds()
	near(t, "length", there.W()/needed.W(), 60.0/150, 1e-6)
	near(t, "width", there.H()/needed.H(), 30.0/60, 1e-6)
	near(t, "the same scale both ways", needed.W()/needed.H(), 150.0/60, 1e-6)
}

func TestMomentsStandAtTheirMonth(t *testing.T) {
	d := theDesk(t)
	p := pair(t, "oscar", "neon tetra")
	g := d.PairGrowth(p.Asked)
	s := Growth(english, g, 400)
	value := axisOf(t, marks(s, "tick"))
	moments := marks(s, "moment")
	if len(moments) == 0 || len(moments) != min(len(g.Events), maxMoments) {
		t.Fatalf("%d marks for %d moments", len(moments), len(g.Events))
	}
	for i, m := range moments {
		near(t, "moment", value(m.Path.Bounds().X0), float64(g.Events[i].Month), .2)
	}
}

func TestAListIsToScaleAndArrowsAreFew(t *testing.T) {
	d := theDesk(t)
	var l links.List
	for _, name := range []string{"oscar", "neon tetra", "cherry shrimp", "guppy", "betta splendens", "zebra danio", "bristlenose pleco"} {
		l.Residents = append(l.Residents, links.Line{Name: d.Resolve(name).Kind.ID, Count: 3})
	}
	l.Tank.Size.Length, l.Tank.Size.Width, l.Tank.Size.Height = 120, 45, 50
	answer, err := d.List(l.Canonical())
	if err != nil {
		t.Fatal(err)
	}
	s := Tank(english, &answer, 400)
	value := axisOf(t, marks(s, "tick"))
	for _, m := range marks(s, "animal") {
		b := m.Path.Bounds()
		near(t, m.Of, value(b.X1)-value(b.X0), m.To, 1)
	}
	glass := marks(s, "tank")[0].Path.Bounds()
	near(t, "the tank", value(glass.X1)-value(glass.X0), 120, 1)
	arrows := marks(s, "trouble")
	if len(troubled(&answer)) <= maxArrows || len(arrows) != maxArrows {
		t.Errorf("%d arrows for %d troubled pairs", len(arrows), len(troubled(&answer)))
	}
	if !strings.Contains(s.Desc, english.Say("picture.tank.more", "count", len(troubled(&answer))-maxArrows)) {
		t.Error("the pairs without an arrow are not counted")
	}
}
