package pictures

import (
	"math"

	"commensal/internal/pages/answers"
	"commensal/internal/pages/words"
)

// Space draws the floor of the tank from above, what is needed over what is there, to one
// scale.
func Space(w words.Words, t *answers.Tank, width float64) *Scene {
	s := &Scene{W: width, Title: w.Say("picture.space"),
		Desc: w.Say("picture.space.desc", "needed", sides(t.NeededLengthCM, t.NeededWidthCM), "there", sides(t.LengthCM, t.WidthCM))}
	longest := math.Max(t.LengthCM, t.NeededLengthCM)
	a := scale{0, longest, 6, width - 6}
	deep := (math.Max(t.WidthCM, t.NeededWidthCM)) / longest * (a.x1 - a.x0)
	top := 8 + Small
	s.label(6, Small+2, Small, Ink, w.Say("picture.space.needed", "size", sides(t.NeededLengthCM, t.NeededWidthCM)))
	px := func(v float64) float64 { return top + 2 + v/longest*(a.x1-a.x0) }
	s.fill(Wash, box(a.at(0), px(0), a.at(t.LengthCM), px(t.WidthCM)))
	s.line(Ink, 2.5, box(a.at(0), px(0), a.at(t.LengthCM), px(t.WidthCM))).names("there", "length").stands(0, t.LengthCM)
	s.line(Accent, 2.5, box(a.at(0), px(0), a.at(t.NeededLengthCM), px(t.NeededWidthCM)), 8, 5).names("needed", "length").stands(0, t.NeededLengthCM)
	bottom := top + deep + 6
	s.label(6, bottom+Small+4, Small, Ink, w.Say("picture.space.there", "size", sides(t.LengthCM, t.WidthCM))).bold()
	s.H = bottom + Small + 14
	return s
}

func sides(length, width float64) string { return short(length) + " × " + short(width) + " cm" }
