package pictures

import (
	"bytes"
	"encoding/xml"
	"errors"
	"image/png"
	"io"
	"math"
	"strings"
	"testing"

	"commensal/internal/pages/answers"
)

// everyScene is each kind of picture in a narrow and a wide form.
func everyScene(t testing.TB) map[string]*Scene {
	d := theDesk(t)
	out := map[string]*Scene{}
	for _, names := range [][2]string{{"oscar", "neon tetra"}, {"betta splendens", "guppy"}, {"goldfish", "discus"}, {"cherry shrimp", "zebra nerite"}, {"motoro stingray", "fiddler crab"}} {
		a, b := d.Resolve(names[0]), d.Resolve(names[1])
		if !a.Found || !b.Found {
			continue
		}
		p := pair(t, names[0], names[1])
		for _, width := range []float64{252, 600} {
			key := names[0] + string(rune('0'+int(width)/100))
			out[key+"sizes"], out[key+"water"] = Sizes(english, p, width), Water(english, p.Scales, width)
			out[key+"why"], out[key+"harm"] = Why(english, p, width), Harm(english, p, width)
			out[key+"space"] = Space(english, &p.Tank, width)
			if g := d.PairGrowth(p.Asked); g != nil {
				out[key+"growth"] = Growth(english, g, width)
			}
		}
	}
	return out
}

func TestPicturesAreWellFormedAndSpeak(t *testing.T) {
	for name, s := range everyScene(t) {
		svg := s.SVG()
		decoder := xml.NewDecoder(bytes.NewReader(svg))
		for {
			if _, err := decoder.Token(); errors.Is(err, io.EOF) {
				break
			} else if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
		}
		if s.Title == "" || s.Desc == "" || strings.Contains(s.Title+s.Desc, "{") {
			t.Errorf("%s: title %q, description %q", name, s.Title, s.Desc)
		}
		if strings.Contains(string(svg), "style=") || strings.Contains(string(svg), "<script") {
			t.Errorf("%s: has a style attribute or a script", name)
		}
		if len(svg) > 24<<10 {
			t.Errorf("%s: %d bytes", name, len(svg))
		}
	}
}

func TestNothingStandsOutsideThePictureOrIsTooSmall(t *testing.T) {
	for name, s := range everyScene(t) {
		for _, m := range s.Marks {
			if m.Text != "" {
				x := m.At.X - m.Anchor*widthOf(m.Text, m.Size, m.Bold)/slack[0]
				end := x + widthOf(m.Text, m.Size, m.Bold)/slack[0]
				if x < -2 || end > s.W+2 || m.At.Y < m.Size*.6 || m.At.Y > s.H {
					t.Errorf("%s: %q from %.0f to %.0f at %.0f, in %.0f × %.0f", name, m.Text, x, end, m.At.Y, s.W, s.H)
				}
				if m.Size < 12 {
					t.Errorf("%s: %q is %.1f px", name, m.Text, m.Size)
				}
				continue
			}
			if b := m.Path.Bounds(); b.X0 < -2 || b.X1 > s.W+2 || b.Y0 < -2 || b.Y1 > s.H+2 {
				t.Errorf("%s: mark %s %s reaches %v, in %.0f × %.0f", name, m.Name, m.Of, b, s.W, s.H)
			}
		}
	}
}

func TestNamesWithMarkupAreEscaped(t *testing.T) {
	b := answers.Body{Kind: answers.Kind{ID: `x"><script>`, Name: `<script>alert(1)</script> & "quoted"`}, Form: "fusiform", LengthCM: 5, DepthCM: 1}
	svg := string(Animal(english, &b, 288).SVG())
	if strings.Contains(svg, "<script") {
		t.Error(svg)
	}
}

func TestThePreviewHasTheSizeThatLinksWant(t *testing.T) {
	p := pair(t, "oscar", "neon tetra")
	card := Card{Title: "t", Verdict: "No", Sentence: p.Sentence, Kinds: "k", Level: "l", Guidance: "g", More: "m",
		Picture: func(w float64) *Scene { return Sizes(english, p, w) }}
	body, err := card.Preview().PNG(2)
	if err != nil {
		t.Fatal(err)
	}
	config, err := png.DecodeConfig(bytes.NewReader(body))
	if err != nil || config.Width != 1200 || config.Height != 630 {
		t.Fatalf("%d × %d, %v", config.Width, config.Height, err)
	}
	again, _ := card.Preview().PNG(2)
	if !bytes.Equal(body, again) {
		t.Error("the same card gives other bytes")
	}
}

// TestPicturesReadInBlackAndWhite holds the inks to contrast that needs no colour: every
// ink that words and marks are drawn in against every ground.
func TestPicturesReadInBlackAndWhite(t *testing.T) {
	luminance := func(r Role) float64 {
		c := inks[r]
		channel := func(v uint8) float64 {
			x := float64(v) / 255
			if x <= .04045 {
				return x / 12.92
			}
			return pow24((x + .055) / 1.055)
		}
		return .2126*channel(c.R) + .7152*channel(c.G) + .0722*channel(c.B)
	}
	for _, ink := range []Role{Ink, Soft, Accent} {
		for _, ground := range []Role{Paper, Wash} {
			if r := (luminance(ground) + .05) / (luminance(ink) + .05); r < 4.5 {
				t.Errorf("ink %d on ground %d: %.2f", ink, ground, r)
			}
		}
	}
}

func BenchmarkPreviewPNG(b *testing.B) {
	p := pair(b, "oscar", "neon tetra")
	card := Card{Title: "t", Verdict: "No", Sentence: p.Sentence, Kinds: "k", Level: "l", Guidance: "g", More: "m",
		Picture: func(w float64) *Scene { return Sizes(english, p, w) }}
	for b.Loop() {
		if _, err := card.Preview().PNG(2); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkWaterSVG(b *testing.B) {
	p := pair(b, "oscar", "neon tetra")
	for b.Loop() {
		Water(english, p.Scales, 288).SVG()
	}
}

func pow24(x float64) float64 { return math.Pow(x, 2.4) }
