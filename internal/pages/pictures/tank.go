package pictures

import (
	"math"
	"slices"
	"strconv"
	"strings"

	"commensal/internal/pages/answers"
	"commensal/internal/pages/words"

	"github.com/tdewolff/canvas"
)

// maxArrows is the greatest number of arrows in a picture of a list; the rest is counted.
const maxArrows = 8

// Tank draws everybody on a list to one scale as adults, by level, with numbered arrows
// for who troubles whom, the worst first.
func Tank(w words.Words, l *answers.List, width float64) *Scene {
	s := &Scene{W: width, Title: w.Say("picture.tank")}
	d := tankDrawing{Scene: s, w: w, l: l, arcs: min(len(troubled(l)), maxArrows)}
	d.right = width - 6
	if d.arcs > 0 {
		d.right -= 14 + arcGap*float64(d.arcs)
	}
	d.x = d.ruler()
	d.frame()
	d.trouble()
	s.Desc = strings.Join(d.desc, " ")
	return s
}

// arcGap is the distance between neighbouring arrows.
const arcGap = 11.0

// troubled are the positions of the pairs that are not low, the worst first.
func troubled(l *answers.List) []int {
	var out []int
	for i := range l.Pairs {
		if l.Pairs[i].Level != "low" {
			out = append(out, i)
		}
	}
	return out
}

type tankDrawing struct {
	*Scene
	w     words.Words
	l     *answers.List
	x     scale
	right float64
	arcs  int
	rows  []float64 // y of each line, by position in the list
	below float64
	desc  []string
}

// ruler is as long as the tank, or twice the longest animal where no tank is known.
func (d *tankDrawing) ruler() scale {
	longest := 1.0
	for i := range d.l.Lines {
		b := &d.l.Lines[i].Body
		along, _ := reach(b.Form)
		longest = math.Max(longest, b.LengthCM*(1+along))
	}
	to := 2 * longest
	if d.l.Tank != nil {
		to = math.Max(d.l.Tank.LengthCM, longest*1.05)
	}
	return scale{0, to, 6, d.right}
}

// frame draws the rows from the surface down inside the glass.
func (d *tankDrawing) frame() {
	order := make([]int, len(d.l.Lines))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return d.l.Lines[a].Body.Zone() - d.l.Lines[b].Body.Zone() })
	d.rows = make([]float64, len(order))
	y, last := 6.0, -1
	for _, i := range order {
		z := d.l.Lines[i].Body.Zone()
		if z != last {
			if last >= 0 {
				d.line(Faint, 1, segment(d.x.x0, y, d.x.x1, y))
			}
			y += Small + 3
			d.label(d.x.x1-6, y, Small, Soft, d.w.Say("Zone."+strconv.Itoa(z))).anchor(1)
			last = z
		}
		y = d.row(i, y)
	}
	end := d.x.x1
	if d.l.Tank != nil {
		end = d.x.at(d.l.Tank.LengthCM)
	}
	glass := &canvas.Path{}
	glass.MoveTo(d.x.x0, 4)
	glass.LineTo(d.x.x0, y+4)
	glass.LineTo(end, y+4)
	glass.LineTo(end, 4)
	d.line(Ink, 2.5, glass).names("tank", "length").stands(0, (end-d.x.x0)/(d.x.x1-d.x.x0)*d.x.to)
	d.axis(d.x, y+8, 5, d.w.Say("picture.cm"))
	d.below = y + 8 + 4 + Small + 8
}

func (d *tankDrawing) row(i int, y float64) float64 {
	l := &d.l.Lines[i]
	y += Small + 3
	text := strconv.Itoa(l.Count) + " × " + l.Kind.Name
	d.label(d.x.x0+6, y, Small, Ink, fit(text, Small, true, d.x.x1-d.x.x0-12)).bold()
	length := d.x.at(l.Body.LengthCM) - d.x.at(0)
	depth := depthOf(&l.Body, length)
	_, across := reach(l.Body.Form)
	half := depth * (.5 + across)
	d.rows[i] = y + 6 + half
	d.animal(&l.Body, placing{x: d.x.at(0) + 4, y: d.rows[i], length: length, depth: depth}, Ink)
	d.desc = append(d.desc, d.w.Say("picture.tank.line", "count", l.Count, "kind", l.Kind.Name, "length", cm(l.Body.LengthCM), "zone", zone(d.w, &l.Body)))
	return y + 6 + 2*half + 8
}

// trouble draws an arrow for each troubled pair and says below what it is.
func (d *tankDrawing) trouble() {
	list := troubled(d.l)
	for k, i := range list[:d.arcs] {
		p := &d.l.Pairs[i]
		number := strconv.Itoa(k + 1)
		d.arc(p, d.right+8+arcGap*float64(k), number)
		for n, line := range wrap(p.Sentence, Small, false, d.W-30, 3) {
			d.below += Small + 3
			if n == 0 {
				d.below += 4
				d.disc(10, d.below-4, number)
			}
			d.label(26, d.below, Small, Ink, line)
		}
		d.desc = append(d.desc, d.w.Say("picture.tank.arrow", "number", number, "sentence", p.Sentence))
	}
	if more := len(list) - d.arcs; more > 0 {
		text := d.w.Say("picture.tank.more", "count", more)
		d.desc = append(d.desc, text)
		d.below += Small + 7
		d.label(0, d.below, Small, Soft, fit(text, Small, false, d.W))
	}
	d.H = d.below + 8
}

// arc is an arrow from the one that does it to the one that suffers, outside the glass.
func (d *tankDrawing) arc(p *answers.PairRow, x float64, number string) {
	from, to := d.rows[p.First], d.rows[p.Second]
	if p.Harm[1] > p.Harm[0] {
		from, to = to, from
	}
	if p.First == p.Second || math.Abs(from-to) < 24 {
		from, to = d.rows[p.First]-12, d.rows[p.Second]+12
	}
	edge := d.right + 2
	path := &canvas.Path{}
	path.MoveTo(edge, from)
	path.LineTo(x, from)
	path.LineTo(x, to)
	path.LineTo(edge, to)
	d.line(Accent, 1.75, path).names("trouble", number)
	head := &canvas.Path{}
	head.MoveTo(edge+7, to-5)
	head.LineTo(edge, to)
	head.LineTo(edge+7, to+5)
	d.line(Accent, 1.75, head)
	d.disc(x, (from+to)/2, number)
}
