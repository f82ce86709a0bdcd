package pictures

import (
	"math"

	"commensal/internal/pages/answers"

	"github.com/tdewolff/canvas"
)

// outline is an animal in a box of its own: from 0 to 1 along its length, the head at 1,
// and from −½ to ½ across its greatest depth. Fins may reach past the box.
type outline struct {
	body  []curve // filled
	lines []curve // stroked: legs and feelers
	folds []curve // stroked in paper upon the body: whorls and rings
	eye   canvas.Point
}

// curve is a path in numbers: each row is a point (2), or a cubic curve (6); closed
// where it is filled.
type curve [][]float64

// outlines are the simple shapes by body form. Each is drawn by hand from what the form
// means, not after any picture.
var outlines = map[string]outline{
	"fusiform": {
		body: []curve{
			{{1, 0}, {.94, -.3, .8, -.5, .62, -.5}, {.45, -.5, .32, -.22, .21, -.11}, {.1, -.3, .06, -.42, 0, -.44}, {.05, -.2, .05, .2, 0, .44}, {.06, .42, .1, .3, .21, .11}, {.32, .22, .45, .5, .62, .5}, {.8, .5, .94, .3, 1, 0}},
			{{.66, -.48}, {.6, -.78, .52, -.86, .46, -.84}, {.48, -.6, .48, -.5, .46, -.4}},
			{{.46, .38}, {.44, .58, .4, .68, .33, .7}, {.35, .5, .34, .4, .33, .24}},
		},
		eye: canvas.Point{X: .9, Y: -.1},
	},
	"short_deep": {
		body: []curve{
			{{1, .02}, {.95, -.24, .82, -.5, .6, -.5}, {.4, -.5, .3, -.24, .2, -.12}, {.12, -.22, .06, -.3, 0, -.3}, {.04, -.12, .04, .12, 0, .3}, {.06, .3, .12, .22, .2, .12}, {.3, .24, .4, .5, .6, .5}, {.82, .5, .95, .26, 1, .02}},
			{{.72, -.47}, {.6, -.68, .38, -.7, .24, -.46}, {.3, -.4, .33, -.32, .35, -.28}},
			{{.58, .49}, {.5, .68, .36, .7, .24, .46}, {.3, .4, .33, .32, .35, .28}},
		},
		eye: canvas.Point{X: .88, Y: -.12},
	},
	"elongated": {
		body: []curve{
			{{1, .06}, {.97, -.2, .86, -.46, .7, -.5}, {.5, -.52, .3, -.36, .16, -.2}, {.1, -.42, .05, -.56, 0, -.56}, {.04, -.2, .04, .2, 0, .56}, {.05, .56, .1, .42, .16, .2}, {.3, .34, .5, .46, .7, .46}, {.86, .46, .97, .3, 1, .06}},
			{{.66, -.5}, {.6, -.98, .54, -1.06, .48, -1.04}, {.5, -.8, .5, -.6, .48, -.46}},
			{{.4, .38}, {.38, .72, .33, .84, .27, .84}, {.29, .6, .28, .4, .27, .3}},
		},
		eye: canvas.Point{X: .93, Y: -.14},
	},
	"eel_like": {
		body: []curve{
			{{1, -.1}, {.97, -.4, .9, -.56, .8, -.5}, {.66, -.42, .6, -.1, .46, -.22}, {.32, -.34, .22, -.6, 0, -.1}, {.2, -.1, .3, .34, .46, .4}, {.62, .46, .72, .2, .84, .26}, {.93, .3, .98, .1, 1, -.1}},
		},
		eye: canvas.Point{X: .955, Y: -.2},
	},
	"shrimp": {
		body: []curve{
			{{1, -.24}, {.86, -.42, .7, -.5, .52, -.48}, {.3, -.44, .16, -.1, .12, .16}, {.06, .24, .02, .34, 0, .46}, {.08, .46, .16, .42, .2, .34}, {.3, .12, .4, .06, .52, .1}, {.7, .14, .86, 0, 1, -.24}},
		},
		lines: []curve{
			{{.98, -.22}, {1.1, -.5, 1.2, -.5, 1.26, -.6}}, {{.98, -.2}, {1.1, -.2, 1.2, -.1, 1.3, -.02}},
			{{.84, .02}, {.86, .5}}, {{.76, .06}, {.76, .5}}, {{.68, .08}, {.66, .5}}, {{.6, .08}, {.56, .48}},
		},
		folds: []curve{{{.46, -.44}, {.42, -.2, .4, -.05, .42, .04}}, {{.32, -.34}, {.3, -.1, .3, 0, .31, .06}}},
		eye:   canvas.Point{X: .92, Y: -.26},
	},
	"crayfish": {
		body: []curve{
			{{.72, -.04}, {.66, -.4, .5, -.5, .38, -.46}, {.22, -.4, .12, -.2, .1, 0}, {.08, .04, .02, .1, 0, .3}, {.1, .3, .16, .26, .2, .2}, {.36, .26, .6, .24, .72, -.04}},
			{{.74, -.12}, {.84, -.5, .94, -.44, 1, -.2}, {.94, -.2, .92, -.22, .9, -.2}, {.94, -.14, .94, -.08, .98, -.04}, {.88, .02, .8, .06, .74, -.12}},
		},
		lines: []curve{{{.66, .1}, {.72, .5}}, {{.58, .18}, {.6, .5}}, {{.5, .2}, {.48, .5}}, {{.42, .2}, {.36, .48}},
			{{.7, -.1}, {.9, -.7, 1.04, -.7, 1.1, -.78}}},
		eye: canvas.Point{X: .67, Y: -.16},
	},
	"crab": {
		body: []curve{
			{{.5, -.4}, {.72, -.4, .8, -.2, .78, 0}, {.76, .3, .62, .4, .5, .4}, {.38, .4, .24, .3, .22, 0}, {.2, -.2, .28, -.4, .5, -.4}},
			{{.72, -.26}, {.86, -.34, .92, -.5, .86, -.62}, {.98, -.6, 1.04, -.44, .98, -.3}, {.92, -.16, .82, -.12, .74, -.16}},
			{{.28, -.26}, {.14, -.34, .08, -.5, .14, -.62}, {.02, -.6, -.04, -.44, .02, -.3}, {.08, -.16, .18, -.12, .26, -.16}},
		},
		lines: []curve{{{.74, 0}, {1, -.02, 1.02, .2, 1.04, .3}}, {{.72, .16}, {.92, .2, .94, .36, .96, .48}},
			{{.26, 0}, {0, -.02, -.02, .2, -.04, .3}}, {{.28, .16}, {.08, .2, .06, .36, .04, .48}}},
		eye: canvas.Point{X: .58, Y: -.3},
	},
	"snail": {
		body: []curve{
			{{.06, .5}, {.2, .32, .4, .36, .6, .36}, {.8, .36, .9, .3, .94, .12}, {1, .16, 1, .34, .98, .5}},
			{{.12, .34}, {-.02, -.1, .2, -.5, .48, -.5}, {.78, -.5, .88, -.12, .76, .34}},
		},
		lines: []curve{{{.96, .14}, {1, -.1}}},
		folds: []curve{{{.76, .3}, {.82, -.24, .5, -.44, .3, -.16}, {.16, .06, .36, .28, .52, .16}, {.62, .08, .56, -.1, .46, -.04}}},
		eye:   canvas.Point{X: .955, Y: .2},
	},
	"clam": {
		body:  []curve{{{0, .1}, {.06, -.4, .34, -.5, .5, -.5}, {.76, -.5, 1, -.2, 1, .1}, {.86, .42, .6, .5, .5, .5}, {.3, .5, .1, .4, 0, .1}}},
		folds: []curve{{{.14, .06}, {.3, -.3, .7, -.3, .86, .06}}, {{.28, .2}, {.4, 0, .6, 0, .72, .2}}},
		eye:   canvas.Point{X: -1},
	},
}

// ray is an outline from above: a disc with its tail. Depth says nothing of it.
var ray = outline{
	body: []curve{
		{{1, 0}, {.98, -.16, .86, -.5, .68, -.5}, {.5, -.5, .42, -.2, .36, -.06}, {.24, -.04, .1, -.02, 0, 0}, {.1, .02, .24, .04, .36, .06}, {.42, .2, .5, .5, .68, .5}, {.86, .5, .98, .16, 1, 0}},
	},
	eye: canvas.Point{X: .88, Y: -.1},
}

// rayWidth is the width of a ray's disc as a share of its length with the tail.
const rayWidth = .55

// whiskers are feelers at the mouth, for the shapes that are known by them.
var whiskers = []curve{{{.99, .08}, {1.04, .2, 1.06, .4, 1.04, .62}}, {{.97, .1}, {.98, .3, .97, .5, .92, .66}}}

// outlineOf is the outline of an animal, and its drawn depth where the depth on record is
// not what is seen.
func outlineOf(b *answers.Body, at *placing) outline {
	o, ok := outlines[b.Form]
	if !ok {
		o = outlines["fusiform"]
	}
	switch b.Shape {
	case "ray":
		at.depth = at.length * rayWidth
		return ray
	case "whiskered_catfish", "armoured_catfish", "loach":
		o.lines = whiskers
	}
	return o
}

// path puts a curve where the animal is.
func (c curve) path(at placing, closed bool) *canvas.Path {
	p := &canvas.Path{}
	for i, row := range c {
		switch x, y := at.xy(row[len(row)-2], row[len(row)-1]); {
		case i == 0:
			p.MoveTo(x, y)
		case len(row) == 2:
			p.LineTo(x, y)
		default:
			x1, y1 := at.xy(row[0], row[1])
			x2, y2 := at.xy(row[2], row[3])
			p.CubeTo(x1, y1, x2, y2, x, y)
		}
	}
	if closed {
		p.Close()
	}
	return p
}

// placing is where an animal is drawn: its tail at x, the middle of its body at y.
type placing struct {
	x, y, length, depth float64
	left                bool // the head to the left
}

func (a placing) xy(u, v float64) (x, y float64) {
	if a.left {
		u = 1 - u
	}
	return a.x + u*a.length, a.y + v*a.depth
}

// animal draws an adult as a simple outline, its body exactly as long as at says; the
// first mark is named "animal" and stands for the length.
func (s *Scene) animal(b *answers.Body, at placing, role Role) {
	o := outlineOf(b, &at)
	width := math.Max(1, math.Min(1.8, at.length/60))
	for i, c := range o.body {
		m := s.fill(role, c.path(at, true))
		if i == 0 {
			m.names("animal", b.Kind.ID).stands(0, b.LengthCM)
		}
	}
	for _, c := range o.lines {
		s.line(role, width, c.path(at, false))
	}
	for _, c := range o.folds {
		s.line(Paper, width, c.path(at, false))
	}
	if o.eye.X >= 0 && at.length >= 14 {
		x, y := at.xy(o.eye.X, o.eye.Y)
		r := math.Max(.9, math.Min(3.2, math.Min(at.length*.018, at.depth*.09)))
		s.fill(Paper, canvas.Circle(r).Translate(x, y))
	}
}

// depthOf is the depth at which an animal of a drawn length is drawn.
func depthOf(b *answers.Body, length float64) float64 {
	if b.Shape == "ray" {
		return length * rayWidth
	}
	return math.Max(length*b.DepthCM/b.LengthCM, 2.5)
}

// reach is how far fins and feelers stand out past the box, as shares of length and depth.
func reach(form string) (along, across float64) {
	switch form {
	case "shrimp":
		return .3, .2
	case "crayfish":
		return .12, .3
	case "elongated":
		return 0, .56
	case "fusiform":
		return 0, .38
	}
	return .05, .22
}
