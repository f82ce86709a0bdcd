package pictures

import (
	"math"
	"strings"

	"commensal/internal/pages/answers"
	"commensal/internal/pages/words"
	"commensal/internal/species"
)

// maxBars is the greatest number of kinds in one scale; the rest is counted.
const maxBars = 6

// leastShared is the least width in px of what suits all.
const leastShared = 2.0

// Water draws one scale for each parameter: what each kind tolerates as an outline, what
// it prefers filled, what suits all shaded, the tank's reading as a line.
func Water(w words.Words, scales []answers.Scale, width float64) *Scene {
	s := &Scene{W: width}
	d := waterDrawing{s, w, 8}
	var desc []string
	for i := range scales {
		desc = append(desc, DescribeScale(w, &scales[i]))
		d.parameter(&scales[i])
	}
	d.key()
	s.H = d.y
	s.Title, s.Desc = w.Say("picture.water", "kinds", w.Join(kindNames(scales))), strings.Join(desc, " ")
	return s
}

func kindNames(scales []answers.Scale) (out []string) {
	if len(scales) == 0 {
		return nil
	}
	for _, b := range scales[0].Bars {
		out = append(out, b.Kind.Name)
	}
	return out
}

type waterDrawing struct {
	*Scene
	w words.Words
	y float64
}

// domain is the scale's values: all that is tolerated and the reading, with some air.
func domain(p *answers.Scale) (from, to float64) {
	from, to = p.Bars[0].Tolerated.Low, p.Bars[0].Tolerated.High
	for _, b := range p.Bars {
		from, to = min(from, b.Tolerated.Low), max(to, b.Tolerated.High)
	}
	if p.Reading != nil {
		from, to = min(from, *p.Reading), max(to, *p.Reading)
	}
	air := max((to-from)*.06, .2)
	return max(0, from-air), to + air
}

const barHeight, barRow = 12.0, 34.0

func (d *waterDrawing) parameter(p *answers.Scale) {
	from, to := domain(p)
	a := scale{from, to, 10, d.W - 10}
	d.y += Body
	d.label(0, d.y, Body, Ink, d.w.Say("Parameter."+p.Key())).bold()
	d.suits(p)
	d.y += 6
	if p.Reading != nil {
		d.y += Small + 2
	}
	top := d.y
	bars := p.Bars[:min(len(p.Bars), maxBars)]
	bottom := top + barRow*float64(len(bars))
	if p.Shared != nil && len(p.Bars) > 1 {
		left, right := a.at(p.Shared.Low), a.at(p.Shared.High)
		if right-left < leastShared { // ranges that only touch share one value, which is seen too
			middle := (left + right) / 2
			left, right = middle-leastShared/2, middle+leastShared/2
		}
		d.fill(Wash, box(left, top+2, right, bottom+2)).names("suits", p.Key()).stands(p.Shared.Low, p.Shared.High)
	}
	for i := range bars {
		d.bar(a, p, &bars[i])
	}
	d.reading(a, p, top, bottom)
	d.y = bottom + 4
	d.axis(a, d.y, 6, "")
	d.y += 4 + Small + 14
	if more := len(p.Bars) - len(bars); more > 0 {
		d.label(10, d.y, Small, Soft, d.w.Say("picture.water.more", "count", more))
		d.y += Small + 8
	}
}

// suits says beside the heading what suits all.
func (d *waterDrawing) suits(p *answers.Scale) {
	if len(p.Bars) < 2 {
		return
	}
	text := d.w.Say("picture.water.none")
	if p.Shared != nil {
		text = d.w.Say("picture.water.suits", "range", Range(p.Parameter, *p.Shared))
		if p.Parameter == species.Temperature {
			text += ", " + Fahrenheit(*p.Shared)
		}
	}
	left := widthOf(d.w.Say("Parameter."+p.Key()), Body, true) + 8
	if left+widthOf(text, Small, false) > d.W {
		d.y += Small + 5
		left = 0
	}
	d.label(d.W-2, d.y, Small, Ink, fit(text, Small, false, d.W-left)).anchor(1)
}

func (d *waterDrawing) bar(a scale, p *answers.Scale, b *answers.Bar) {
	text := fit(b.Kind.Name, Small, false, d.W*.55) + " " + short(b.Tolerated.Low) + "–" + short(b.Tolerated.High)
	d.label(10, d.y+Small+2, Small, Ink, text)
	y := d.y + Small + 6
	d.line(Ink, 1.5, box(a.at(b.Tolerated.Low), y, a.at(b.Tolerated.High), y+barHeight)).names("tolerates", p.Key()+" "+b.Kind.ID).stands(b.Tolerated.Low, b.Tolerated.High)
	left, right := a.at(b.Preferred.Low), a.at(b.Preferred.High)
	if right-left < 2 { // a single value still shows
		left, right = left-1, right+1
	}
	d.fill(Ink, box(left, y, right, y+barHeight)).names("prefers", p.Key()+" "+b.Kind.ID).stands(b.Preferred.Low, b.Preferred.High)
	d.y += barRow
}

func (d *waterDrawing) reading(a scale, p *answers.Scale, top, bottom float64) {
	if p.Reading == nil {
		return
	}
	x := a.at(*p.Reading)
	d.line(Accent, 2.5, segment(x, top-2, x, bottom+4), 6, 4).names("reading", p.Key()).stands(*p.Reading, *p.Reading)
	text := d.w.Say("picture.water.yours", "value", Value(p.Parameter, *p.Reading))
	half := widthOf(text, Small, true) / 2
	d.label(math.Min(math.Max(x, half), d.W-half), top-5, Small, Accent, text).bold().anchor(.5)
}

func (d *waterDrawing) key() {
	for _, line := range wrap(d.w.Say("picture.water.key"), Small, false, d.W, 3) {
		d.y += Small + 2
		d.label(0, d.y, Small, Soft, line)
	}
	d.y += 6
}

// DescribeScale says a scale in sentences, for those who do not see it.
func DescribeScale(w words.Words, p *answers.Scale) string {
	out := []string{w.Say("Parameter."+p.Key()) + "."}
	for _, b := range p.Bars {
		out = append(out, w.Say("picture.water.bar", "kind", b.Kind.Name, "tolerated", Range(p.Parameter, b.Tolerated), "prefers", "", "preferred", Range(p.Parameter, b.Preferred)))
	}
	switch {
	case len(p.Bars) < 2:
	case p.Shared != nil:
		out = append(out, w.Say("picture.water.shared", "range", Range(p.Parameter, *p.Shared)))
	default:
		out = append(out, w.Say("picture.water.apart", "parameter", w.Say("parameter."+p.Key())))
	}
	if p.Reading != nil {
		out = append(out, w.Say("picture.water.reading", "value", Value(p.Parameter, *p.Reading)))
	}
	return strings.Join(out, " ")
}
