package pictures

import (
	"math"

	"github.com/tdewolff/canvas"
)

// Card is what stands on a card, in this order; the picture follows the main reason.
type Card struct {
	Title    string                     // for screen readers
	Verdict  string                     // yes or no, in a word or two
	Sentence string                     // what decides
	Kinds    string                     // the kinds, their numbers and the tank
	Level    string                     // the level in words and the score
	Picture  func(width float64) *Scene // nil for none
	Change   string                     // the best change; may be empty
	Guidance string
	More     string // where to read on
}

// The sizes of a card: upright for posts, and lying for link previews, which show twice
// as many pixels.
const (
	CardWidth                   = 480.0
	PreviewWidth, PreviewHeight = 600.0, 315.0
)

// Upright draws the card one under the other, as wide as asked and as tall as it needs.
func (c *Card) Upright(width float64) *Scene {
	s := &Scene{W: width, Title: c.Title, Desc: c.words()}
	d := cardDrawing{s, 18, width - 36, 16}
	d.frame()
	d.text(c.Verdict, 30, true, Accent, 2)
	d.text(c.Sentence, 17, true, Ink, 4)
	d.text(c.Kinds, Body, false, Soft, 3)
	d.text(c.Level, Body, false, Ink, 2)
	if c.Picture != nil {
		picture := c.Picture(d.wide)
		d.y += 10
		s.put(picture, d.x, d.y, 1)
		d.y += picture.H + 4
		s.Desc += " " + picture.Desc
	}
	d.text(c.Change, Body, false, Ink, 3)
	d.text(c.Guidance, Small, false, Soft, 7)
	d.text(c.More, Small, true, Accent, 2)
	s.H = d.y + 16
	s.Marks[0].Path = box(1, 1, width-1, s.H-1)
	return s
}

// Preview draws the card lying: words at the left, the picture at the right.
func (c *Card) Preview() *Scene {
	s := &Scene{W: PreviewWidth, H: PreviewHeight, Title: c.Title, Desc: c.words()}
	d := cardDrawing{s, 22, 270 * slack[0], 20} // painted in the type that is measured
	if c.Picture == nil {
		d.wide = PreviewWidth - 44
	}
	d.frame()
	s.Marks[0].Path = box(1, 1, s.W-1, s.H-1)
	d.text(c.Verdict, 32, true, Accent, 2)
	d.text(c.Sentence, 18, true, Ink, 4)
	d.text(c.Kinds, Body, false, Soft, 3)
	d.text(c.Level, Body, false, Ink, 3)
	if d.y < 220 {
		d.text(c.Change, Small, false, Ink, 2)
	}
	if d.y < 240 {
		d.text(c.Guidance, Small, false, Soft, 2)
	}
	s.label(d.x, s.H-16, Small, Soft, fit(c.More, Small, false, (s.W-44)*slack[0]))
	if c.Picture != nil {
		const x, y, wide, tall = 312.0, 22.0, 268.0, 256.0
		picture := c.Picture(wide)
		k := math.Min(1, tall/picture.H)
		s.put(picture, x+(wide-picture.W*k)/2, y+(tall-picture.H*k)/2, k)
		s.Desc += " " + picture.Desc
	}
	return s
}

// words are the card for those who do not see it.
func (c *Card) words() string {
	return c.Verdict + " " + c.Sentence + " " + c.Kinds + " " + c.Level + " " + c.Change + " " + c.Guidance
}

type cardDrawing struct {
	*Scene
	x, wide, y float64
}

// frame is the edge of the card; its path is set once the height is known.
func (d *cardDrawing) frame() { d.line(Faint, 1.5, &canvas.Path{}) }

func (d *cardDrawing) text(text string, size float64, bold bool, role Role, lines int) {
	if text == "" {
		return
	}
	d.y += size * .35
	for _, line := range wrap(text, size, bold, d.wide, lines) {
		d.y += size * 1.15
		d.label(d.x, d.y, size, role, line).Bold = bold
	}
	d.y += size * .1
}

// put places another scene inside this one, k times as large.
func (s *Scene) put(o *Scene, x, y, k float64) {
	to := canvas.Identity.Translate(x, y).Scale(k, k)
	for _, m := range o.Marks {
		if m.Path != nil {
			m.Path = m.Path.Copy().Transform(to)
		}
		m.At = to.Dot(m.At)
		m.Size *= k
		m.Stroke *= k
		if len(m.Dash) > 0 {
			dash := make([]float64, len(m.Dash))
			for i, x := range m.Dash {
				dash[i] = x * k
			}
			m.Dash = dash
		}
		s.Marks = append(s.Marks, m)
	}
}
