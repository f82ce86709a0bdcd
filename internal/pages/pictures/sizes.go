package pictures

import (
	"math"
	"strconv"

	"commensal/internal/pages/answers"
	"commensal/internal/pages/words"
)

// Sizes draws both animals to one scale beside a ruler in centimetres, each at the level
// where it swims; where one may swallow the other, a dashed line shows up to what length.
func Sizes(w words.Words, p *answers.Pairing, width float64) *Scene {
	a, b := &p.Bodies[0], &p.Bodies[1]
	s := &Scene{W: width, Title: w.Say("picture.sizes", "first", a.Kind.Name, "second", b.Kind.Name),
		Desc: w.Say("picture.sizes.desc", "first", a.Kind.Name, "second", b.Kind.Name, "first_length", cm(a.LengthCM), "second_length", cm(b.LengthCM),
			"first_zone", zone(w, a), "second_zone", zone(w, b))}
	d := sizesDrawing{s, w, newRuler(width, a, b), 2, nil}
	if p.Kinds[0] == p.Kinds[1] {
		s.Title = w.Say("picture.sizes.own", "first", a.Kind.Name)
		d.row(a)
		d.foot()
		return s
	}
	upper, lower := a, b
	if b.Zone() < a.Zone() || b.Zone() == a.Zone() && b.LengthCM > a.LengthCM {
		upper, lower = b, a
	}
	d.row(upper)
	d.row(lower)
	if hunter := Hunter(p); hunter >= 0 {
		d.limit(&p.Bodies[hunter])
	}
	d.foot()
	return s
}

// Hunter is the one of the two that eats the other where that is the main reason, else −1.
func Hunter(p *answers.Pairing) int {
	if p.Reason != "predation" {
		return -1
	}
	hunter := 0
	if p.Harm[1] > p.Harm[0] {
		hunter = 1
	}
	if p.Bodies[hunter].PreyCM <= 0 {
		return -1
	}
	return hunter
}

func zone(w words.Words, b *answers.Body) string { return w.Say("zone." + strconv.Itoa(b.Zone())) }

// newRuler is a scale in cm from 0 that holds the animals.
func newRuler(width float64, bodies ...*answers.Body) scale {
	longest, out := 1.0, 0.0
	for _, b := range bodies {
		along, _ := reach(b.Form)
		longest = math.Max(longest, b.LengthCM)
		out = math.Max(out, b.LengthCM*(1+along))
	}
	d := step(longest, 5)
	to := math.Max(math.Ceil(longest/d)*d, out)
	return scale{0, to, 8, width - 14}
}

type sizesDrawing struct {
	*Scene
	w words.Words
	a scale
	y float64
	// spans are the tops and bottoms of what is drawn, between the lines of text.
	spans [][2]float64
}

// row draws one animal with its tail at 0, under a line that names it.
func (d *sizesDrawing) row(b *answers.Body) {
	text := cm(b.LengthCM) + ", " + d.w.Say("Zone."+strconv.Itoa(b.Zone()))
	d.y += Body
	d.label(8, d.y, Body, Ink, fit(b.Kind.Name, Body, true, d.W-18-widthOf(text, Small, false))).bold()
	d.label(d.W-2, d.y, Small, Soft, text).anchor(1)
	length := d.a.at(b.LengthCM) - d.a.at(0)
	depth := depthOf(b, length)
	_, across := reach(b.Form)
	half := depth * (.5 + across)
	d.animal(b, placing{x: d.a.at(0), y: d.y + 8 + half, length: length, depth: depth}, Ink)
	d.spans = append(d.spans, [2]float64{d.y + 5, d.y + 8 + 2*half + 5})
	d.y += 8 + 2*half + 14
}

// limit is the dashed line up to which the hunter swallows.
func (d *sizesDrawing) limit(hunter *answers.Body) {
	x := d.a.at(math.Min(hunter.PreyCM, d.a.to))
	d.spans = append(d.spans, [2]float64{d.y + 8 + Small, d.y + 8 + Small + 4})
	for _, span := range d.spans {
		d.line(Accent, 2.5, segment(x, span[0], x, span[1]), 7, 5).names("swallows", hunter.Kind.ID).stands(hunter.PreyCM, hunter.PreyCM)
	}
	text := d.w.Say("picture.swallows", "hunter", hunter.Kind.Name, "limit", cm(hunter.PreyCM))
	d.y += Small
	anchor, at := 0.0, x+6
	if wide := widthOf(text, Small, true); at+wide > d.W {
		anchor, at = 1, x-6
		if at-wide < 0 {
			anchor, at = 0, 8
			d.y += 4
		}
	}
	d.label(at, d.y, Small, Accent, fit(text, Small, true, d.W-8)).bold().anchor(anchor)
	d.y += 8
	d.Desc += d.w.Say("picture.sizes.limit", "hunter", hunter.Kind.Name, "limit", cm(hunter.PreyCM))
}

func (d *sizesDrawing) foot() {
	d.axis(d.a, d.y, 6, d.w.Say("picture.cm"))
	d.H = d.y + 4 + Small + 8
}

// Animal draws one animal beside a ruler.
func Animal(w words.Words, b *answers.Body, width float64) *Scene {
	s := &Scene{W: width, Title: w.Say("picture.body", "kind", b.Kind.Name),
		Desc: w.Say("picture.body.desc", "kind", b.Kind.Name, "length", cm(b.LengthCM), "zone", zone(w, b))}
	d := sizesDrawing{s, w, newRuler(width, b), 2, nil}
	d.row(b)
	d.foot()
	return s
}
