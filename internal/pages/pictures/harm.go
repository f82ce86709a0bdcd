package pictures

import (
	"math"

	"commensal/internal/pages/answers"
	"commensal/internal/pages/words"

	"github.com/tdewolff/canvas"
)

// leastHarm is the harm from which an arrow is drawn.
const leastHarm = .05

// Harm draws who harms whom: both animals to one scale, and an arrow from the one that
// does it with what it does.
func Harm(w words.Words, p *answers.Pairing, width float64) *Scene {
	a, b := &p.Bodies[0], &p.Bodies[1]
	s := &Scene{W: width, Title: w.Say("picture.harm", "first", a.Kind.Name, "second", b.Kind.Name)}
	d := harmDrawing{s, w, width * .33}
	if p.Kinds[0] == p.Kinds[1] {
		s.Title = w.Say("picture.harm.own", "first", a.Kind.Name)
	}
	longest := math.Max(extent(a), extent(b))
	h := math.Max(d.tall(a, longest), d.tall(b, longest))
	d.animalAt(a, longest, h, false)
	d.animalAt(b, longest, h, true)
	d.arrows(p, top+h/2)
	y := top + h + 8
	s.H = math.Max(d.name(a, 4, y, 0), d.name(b, width-4, y, 1)) + 10
	return s
}

type harmDrawing struct {
	*Scene
	w    words.Words
	room float64 // for the longer of the two
}

const top = 12.0 // above the animals

// extent is the length of an animal with its feelers, in cm.
func extent(b *answers.Body) float64 {
	along, _ := reach(b.Form)
	return b.LengthCM * (1 + along)
}

// size is the drawn length and depth of an animal beside the longer of the two.
func (d *harmDrawing) size(b *answers.Body, longest float64) (length, depth float64) {
	length = math.Max(d.room*b.LengthCM/longest, 3)
	return length, depthOf(b, length)
}

// tall is the height that an animal takes with its fins.
func (d *harmDrawing) tall(b *answers.Body, longest float64) float64 {
	_, depth := d.size(b, longest)
	_, across := reach(b.Form)
	return math.Max(2*depth*(.5+across), 44)
}

// animalAt draws one animal beside the arrow, facing it.
func (d *harmDrawing) animalAt(b *answers.Body, longest, h float64, right bool) {
	length, depth := d.size(b, longest)
	along, _ := reach(b.Form)
	at := placing{x: d.W*.36 - length*(1+along), y: top + h/2, length: length, depth: depth, left: right}
	if right {
		at.x = d.W*.64 + length*along
	}
	d.animal(b, at, Ink)
}

func (d *harmDrawing) arrows(p *answers.Pairing, y float64) {
	does := d.w.Say("picture.does." + p.Reason)
	x0, x1 := d.W*.38, d.W*.62
	first, second := p.Harm[0] >= leastHarm, p.Harm[1] >= leastHarm
	switch {
	case p.Reason == "none" || !first && !second:
		d.label(d.W/2, y, Body, Soft, does).anchor(.5)
		d.Desc = d.w.Say("picture.harm.none")
		return
	case p.Reason == "water" || p.Reason == "space" || p.Reason == "hybridisation" || first && second && math.Abs(p.Harm[0]-p.Harm[1]) < .15:
		d.arrow(x0, x1, y)
		d.arrow(x1, x0, y)
		d.say(p, 0, does)
	case p.Harm[0] >= p.Harm[1]:
		d.arrow(x0, x1, y)
		d.say(p, 0, does)
	default:
		d.arrow(x1, x0, y)
		d.say(p, 1, does)
	}
	d.label(d.W/2, y-10, Body, Accent, fit(does, Body, true, d.W*.34)).bold().anchor(.5)
}

func (d *harmDrawing) say(p *answers.Pairing, actor int, does string) {
	d.Desc = d.w.Say("picture.harm.desc", "actor", p.Kinds[actor].Name, "does", does, "other", p.Kinds[1-actor].Name)
}

// arrow is a straight arrow along y.
func (s *Scene) arrow(from, to, y float64) {
	s.line(Accent, 2.5, segment(from, y, to, y)).names("arrow", "")
	back := math.Copysign(9, from-to)
	head := &canvas.Path{}
	head.MoveTo(to+back, y-6)
	head.LineTo(to, y)
	head.LineTo(to+back, y+6)
	s.line(Accent, 2.5, head)
}

func (d *harmDrawing) name(b *answers.Body, x, y, anchor float64) float64 {
	for _, line := range wrap(b.Kind.Name, Body, true, d.W*.46, 2) {
		y += Body + 3
		d.label(x, y, Body, Ink, line).bold().anchor(anchor)
	}
	y += Small + 3
	d.label(x, y, Small, Soft, cm(b.LengthCM)).anchor(anchor)
	return y
}
