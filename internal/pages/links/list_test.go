package links

import (
	"slices"
	"strings"
	"testing"

	"commensal/internal/species"
	"commensal/internal/units"

	"pgregory.net/rapid"
)

// drawLine draws a line as it stands in a canonical link: with an id for its name.
func drawLine(t *rapid.T) Line {
	return Line{
		Count:     rapid.IntRange(0, MaxCount).Draw(t, "count"),
		Name:      rapid.SampledFrom([]string{"betta-splendens", "paracheirodon-innesi", "carassius-auratus-fancy", "rasbora"}).Draw(t, "name"),
		Sex:       species.Sex(rapid.IntRange(0, 2).Draw(t, "sex")),
		LengthCM:  float64(rapid.IntRange(0, 5000).Draw(t, "length")) / 10,
		AgeMonths: float64(rapid.IntRange(0, 1440).Draw(t, "age")),
	}
}

func drawTank(t *rapid.T) Tank {
	var tank Tank
	if rapid.Bool().Draw(t, "sized") {
		side := rapid.Float64Range(5, 1000)
		tank.Size = units.TankSize{Length: units.RoundLength(side.Draw(t, "length")), Width: units.RoundLength(side.Draw(t, "width")), Height: units.RoundLength(side.Draw(t, "height"))}
	} else if rapid.Bool().Draw(t, "volume") {
		tank.VolumeL = float64(rapid.IntRange(1, 2000).Draw(t, "litres"))
	}
	tops := [species.NumParameters]int{45, 11, 100, 42}
	lows := [species.NumParameters]int{0, 3, 0, 0}
	for p := range tank.Water {
		if rapid.Bool().Draw(t, "known") {
			tank.Water[p] = Reading{float64(rapid.IntRange(lows[p]*10, tops[p]*10).Draw(t, "reading")) / 10, true}
		}
	}
	for _, s := range switches {
		if rapid.Bool().Draw(t, "said") {
			v := rapid.Bool().Draw(t, "yes")
			*s.of(&tank) = &v
		}
	}
	if rapid.Bool().Draw(t, "cover") {
		x := float64(rapid.IntRange(0, 100).Draw(t, "share")) / 100
		tank.Cover = &x
	}
	tank.Floor = rapid.SampledFrom([]string{"", "sand", "gravel", "bare"}).Draw(t, "floor")
	return tank
}

func TestAListSurvivesItsLink(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		in := List{Residents: rapid.SliceOfN(rapid.Custom(drawLine), 1, 8).Draw(t, "residents"),
			Incoming: rapid.SliceOfN(rapid.Custom(drawLine), 0, 4).Draw(t, "incoming"), Tank: drawTank(t)}.Canonical()
		link := in.Link()
		out, faults := ReadList(link)
		if len(faults) > 0 {
			t.Fatalf("%s: %v", link, faults)
		}
		if again := out.Canonical(); again.Link() != link {
			t.Fatalf("%s became %s", link, again.Link())
		}
		if !slices.Equal(out.Residents, in.Residents) || !slices.Equal(out.Incoming, in.Incoming) {
			t.Fatalf("%s: lines differ: %+v, %+v", link, in, out)
		}
		if strings.Trim(link, "abcdefghijklmnopqrstuvwxyzCHL0123456789-+~@.,") != "" {
			t.Fatalf("%s needs escaping", link)
		}
	})
}

func TestTheOrderOfAListNeverMatters(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lines := rapid.SliceOfN(rapid.Custom(drawLine), 1, 8).Draw(t, "lines")
		shuffled := rapid.Permutation(lines).Draw(t, "shuffled")
		a, b := List{Residents: lines}.Canonical(), List{Residents: shuffled}.Canonical()
		if a.Link() != b.Link() {
			t.Fatalf("%s and %s", a.Link(), b.Link())
		}
	})
}

func TestNothingInALinkPanics(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[a-z0-9~@+,.xcmLCpH\-]{0,80}`).Draw(t, "text")
		l, faults := ReadList(text)
		if len(faults) == 0 {
			again, faults := ReadList(l.Link())
			if len(faults) > 0 || again.Link() != l.Link() {
				t.Fatalf("%q: %q: %v", text, l.Link(), faults)
			}
		}
	})
}

func TestWhatALinkRefuses(t *testing.T) {
	for _, text := range []string{"", "@60x30x30cm", "0-betta", "6-", "1001-betta", "betta@60x30", "betta@60x30x9999cm", "betta@99C", "betta@pH99",
		"betta@cover2", "betta@nonsense", "betta@-5L", strings.Repeat("betta+", MaxLines) + "betta", strings.Repeat("b", MaxLink+1)} {
		if l, faults := ReadList(text); len(faults) == 0 {
			t.Errorf("%.60q was read as %+v", text, l)
		}
	}
}

func TestTheExampleOfTheReadme(t *testing.T) {
	l, faults := ReadList("6-neon-tetra+1-betta-splendens-male@60x30x36cm,25C")
	if len(faults) > 0 {
		t.Fatal(faults)
	}
	want := List{Residents: []Line{{Count: 6, Name: "neon-tetra"}, {Count: 1, Name: "betta-splendens", Sex: species.Male}},
		Tank: Tank{Size: units.TankSize{Length: 60, Width: 30, Height: 36}, Water: Water{species.Temperature: {25, true}}}}
	if !slices.Equal(l.Residents, want.Residents) || l.Tank != want.Tank {
		t.Fatalf("%+v", l)
	}
}
