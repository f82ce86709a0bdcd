package pictures

import (
	"math"
	"strings"

	"commensal/internal/pages/answers"
	"commensal/internal/pages/words"
)

// leastShare is the smallest share of a factor, in points, that a picture and a page
// show by itself.
const leastShare = 3

// Step is one bar of a waterfall: from where the one before ended.
type Step struct {
	Key      string // factor, or "rest"
	From, To float64
}

// Share is what the step adds.
func (s Step) Share() float64 { return math.Round((s.To-s.From)*10) / 10 }

// Steps are the shares of at least three points, the largest first, and what the others
// add up to, ending at the score.
func Steps(p *answers.Pairing) []Step {
	var out []Step
	at := 0.0
	for _, f := range MainFactors(p) {
		out = append(out, Step{f.Key, at, at + f.Share})
		at += f.Share
	}
	if math.Abs(p.Score-at) >= .05 {
		out = append(out, Step{"rest", at, p.Score})
	}
	return out
}

// MainFactors are the factors with a share of at least three points either way, the
// largest first.
func MainFactors(p *answers.Pairing) []answers.Factor {
	var out []answers.Factor
	for _, f := range p.Factors {
		if math.Abs(f.Share) < leastShare {
			continue
		}
		i := len(out)
		for i > 0 && f.Share > out[i-1].Share {
			i--
		}
		out = append(out, answers.Factor{})
		copy(out[i+1:], out[i:])
		out[i] = f
	}
	return out
}

// Why draws the shares as bars that add up from left to right and end at the score, with
// the band of the score under it.
func Why(w words.Words, p *answers.Pairing, width float64) *Scene {
	s := &Scene{W: width, Title: w.Say("picture.why", "score", short(p.Score))}
	steps := Steps(p)
	from, to := math.Min(0, p.Low), 100.0
	for _, b := range steps {
		from, to = math.Min(from, math.Min(b.From, b.To)), math.Max(to, math.Max(b.From, b.To))
	}
	d := whyDrawing{s, w, scale{from, to, 8, width - 16}, 4}
	desc := []string{w.Say("picture.why.start")}
	for _, b := range steps {
		desc = append(desc, d.step(b))
	}
	d.total(p)
	desc = append(desc, w.Say("picture.why.end", "score", short(p.Score), "low", short(p.Low), "high", short(p.High)))
	s.Desc = strings.Join(desc, " ")
	d.axis(d.a, d.y, 5, "")
	s.H = d.y + 4 + Small + 8
	return s
}

type whyDrawing struct {
	*Scene
	w words.Words
	a scale
	y float64
}

const whyRow = 36.0

func (d *whyDrawing) step(b Step) string {
	name := d.w.Say("picture.why.rest")
	if b.Key != "rest" {
		name = d.w.Say("factor." + b.Key)
	}
	share := short(b.Share())
	if b.Share() > 0 {
		share = "+" + share
	}
	text := d.w.Say("picture.why.bar", "factor", name, "share", share)
	x0, x1 := d.a.at(math.Min(b.From, b.To)), d.a.at(math.Max(b.From, b.To))
	d.text(x0, text, false)
	y := d.y + Small + 6
	if b.To >= b.From {
		d.fill(Ink, box(x0, y, math.Max(x1, x0+1), y+12)).names("share", b.Key).stands(b.From, b.To)
	} else {
		d.line(Ink, 1.5, box(x0, y, math.Max(x1, x0+1), y+12), 3, 3).names("share", b.Key).stands(b.To, b.From)
	}
	end := d.a.at(b.To)
	d.line(Soft, 1, segment(end, y+12, end, y+whyRow), 2, 3)
	d.y += whyRow
	return text + ","
}

// text puts a label over a bar, inside the picture.
func (d *whyDrawing) text(x float64, text string, bold bool) {
	wide := widthOf(text, Small, bold)
	x = math.Max(4, math.Min(x, d.W-wide-4))
	m := d.label(x, d.y+Small+2, Small, Ink, text)
	m.Bold = bold
}

func (d *whyDrawing) total(p *answers.Pairing) {
	d.text(d.a.at(0), d.w.Say("picture.why.score")+" "+short(p.Score)+", "+d.w.Say("picture.why.band", "low", short(p.Low), "high", short(p.High)), true)
	y := d.y + Small + 6
	d.fill(Accent, box(d.a.at(0), y, d.a.at(p.Score), y+12)).names("score", "").stands(0, p.Score)
	low, high, mid := d.a.at(p.Low), d.a.at(p.High), y+20
	d.line(Accent, 2, segment(low, mid, high, mid)).names("band", "").stands(p.Low, p.High)
	d.line(Accent, 2, segment(low, mid-4, low, mid+4))
	d.line(Accent, 2, segment(high, mid-4, high, mid+4))
	d.y += whyRow + 10
}
