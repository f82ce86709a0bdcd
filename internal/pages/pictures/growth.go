package pictures

import (
	"math"
	"strconv"
	"strings"

	"commensal/internal/pages/answers"
	"commensal/internal/pages/words"

	"github.com/tdewolff/canvas"
)

// maxMoments is the greatest number of moments that a picture marks.
const maxMoments = 6

// dashes tell the curves apart without colour.
var dashes = [][]float64{nil, {9, 5}, {2, 5}, {12, 4, 2, 4}}

// Growth draws lengths over months, with a numbered mark where something starts.
func Growth(w words.Words, g *answers.Growth, width float64) *Scene {
	s := &Scene{W: width, Title: w.Say("picture.growth", "months", g.Months)}
	top := 1.0
	for _, c := range g.Curves {
		for _, x := range c.CM {
			top = math.Max(top, x)
		}
	}
	d := growthDrawing{Scene: s, w: w, x: scale{0, float64(g.Months), 36, width - 14}, y: scale{0, top * 1.08, 205, 42}}
	d.grid(top)
	var desc []string
	if g.FromAge > 0 {
		desc = append(desc, w.Say("picture.growth.from"))
	}
	for i := range g.Curves {
		desc = append(desc, d.curve(&g.Curves[i], dashes[i%len(dashes)]))
	}
	d.axis(d.x, 205, 6, w.Say("picture.growth.axis"))
	d.below = 205 + 4 + Small + 10
	for i := range g.Curves {
		d.key(&g.Curves[i], dashes[i%len(dashes)])
	}
	desc = append(desc, d.moments(g.Events)...)
	s.H, s.Desc = d.below+6, strings.Join(desc, " ")
	return s
}

type growthDrawing struct {
	*Scene
	w     words.Words
	x, y  scale
	below float64
}

// grid draws the lengths at the left, the highest with its unit.
func (d *growthDrawing) grid(top float64) {
	by := step(top, 4)
	for v := 0.0; v <= d.y.to; v += by {
		y := d.y.at(v)
		d.line(Faint, 1, segment(d.x.x0, y, d.x.x1, y)).names("level", "").stands(v, v)
		d.label(d.x.x0-5, y+4, Small, Soft, short(v)).anchor(1)
	}
	d.label(0, Small+2, Small, Soft, d.w.Say("picture.cm"))
}

func (d *growthDrawing) curve(c *answers.Curve, dash []float64) string {
	p := &canvas.Path{}
	for m, v := range c.CM {
		if x, y := d.x.at(float64(m)), d.y.at(v); m == 0 {
			p.MoveTo(x, y)
		} else {
			p.LineTo(x, y)
		}
	}
	last := c.CM[len(c.CM)-1]
	d.line(Ink, 2.5, p, dash...).names("length", c.Kind.ID).stands(c.CM[0], last)
	return d.w.Say("picture.growth.curve", "kind", c.Kind.Name, "from", cm(c.CM[0]), "to", cm(last), "months", len(c.CM)-1)
}

// key names a curve beside a piece of its line.
func (d *growthDrawing) key(c *answers.Curve, dash []float64) {
	d.below += Small + 5
	d.line(Ink, 2.5, segment(2, d.below-4, 34, d.below-4), dash...)
	text := c.Kind.Name
	if c.Sex != 0 {
		text += ", " + c.Sex.String()
	}
	text += ": " + short(c.CM[0]) + " → " + cm(c.CM[len(c.CM)-1])
	d.label(42, d.below, Small, Ink, fit(text, Small, false, d.W-44))
}

func (d *growthDrawing) moments(list []answers.Moment) (desc []string) {
	last, y := -100.0, 12.0
	for i, m := range list[:min(len(list), maxMoments)] {
		x := d.x.at(float64(m.Month))
		number := strconv.Itoa(i + 1)
		d.line(Accent, 1.5, segment(x, y+9, x, 205), 3, 4).names("moment", number).stands(float64(m.Month), float64(m.Month))
		if x-last < 19 && y == 12 { // beside the one before
			y = 31
		} else {
			y = 12
		}
		last = x
		d.disc(x, y, number)
		d.below += 6
		text := m.Sentence
		for k, line := range wrap(text, Small, false, d.W-28, 3) {
			d.below += Small + 3
			if k == 0 {
				d.disc(10, d.below-4, number)
			}
			d.label(26, d.below, Small, Ink, line)
		}
		desc = append(desc, number+": "+text)
	}
	return desc
}

// disc is a number in a filled circle.
func (s *Scene) disc(x, y float64, number string) {
	s.fill(Accent, canvas.Circle(9).Translate(x, y))
	s.label(x, y+4.5, Small, Paper, number).bold().anchor(.5)
}
