package pictures

import (
	"strings"
	"sync"
	"unicode/utf8"

	"github.com/tdewolff/canvas"
	"golang.org/x/image/font/gofont/gobold"
	"golang.org/x/image/font/gofont/goregular"
)

// typefaces are the regular and the bold type that words are measured and painted with.
// In SVG a reader's own sans serif is used, which may run a little wider: see [slack].
var typefaces = sync.OnceValue(func() (out [2]*canvas.Font) {
	for i, ttf := range [...][]byte{goregular.TTF, gobold.TTF} {
		font, err := canvas.LoadFont(ttf, 0, canvas.FontRegular)
		if err != nil {
			panic("pictures: a typeface compiled into the binary cannot be read: " + err.Error())
		}
		out[i] = font
	}
	return out
})

// slack is how much wider than the measured type a reader's type may run: the widest
// sans serif in common use runs a fifth wider, its bold a quarter.
var slack = [...]float64{1.2, 1.25}

// pixelsPerPoint turns CSS pixels into the points that canvas sets type in, where one
// canvas unit is taken as one pixel.
const pixelsPerPoint = 72.0 / 25.4

func face(size float64, bold bool) *canvas.FontFace {
	f := typefaces()[0]
	if bold {
		f = typefaces()[1]
	}
	return f.Face(size*pixelsPerPoint, canvas.Black)
}

// widthOf is how wide a text may run in a reader's type, in CSS pixels.
func widthOf(text string, size float64, bold bool) float64 {
	if text == "" {
		return 0
	}
	if bold {
		return advance(text, true) * size * slack[1]
	}
	return advance(text, false) * size * slack[0]
}

// advance is the sum of the widths of the characters as a share of the size; kerning
// is left out, which only makes it wider.
func advance(text string, bold bool) float64 {
	t := advances()[0]
	if bold {
		t = advances()[1]
	}
	sum := 0.0
	for _, r := range text {
		if r < rune(len(t)) && t[r] > 0 {
			sum += t[r]
		} else {
			sum += otherAdvance
		}
	}
	return sum
}

// otherAdvance is taken for characters past Latin.
const otherAdvance = 1.0

// advances are the widths of the Latin characters, as shares of the size.
var advances = sync.OnceValue(func() (out [2][0x250]float64) {
	const size = 100
	for i := range out {
		f := face(size, i == 1)
		for r := rune(0x20); r < rune(len(out[i])); r++ {
			out[i][r] = f.TextWidth(string(r)) / size
		}
	}
	return out
})

// wrap breaks a text into lines no wider than width, at most lines of them; what does not
// fit ends in an ellipsis.
func wrap(text string, size float64, bold bool, width float64, lines int) []string {
	var out []string
	line := ""
	for _, word := range strings.Fields(text) {
		next := strings.TrimSpace(line + " " + word)
		if line == "" || widthOf(next, size, bold) <= width {
			line = next
			continue
		}
		out = append(out, line)
		line = word
	}
	if line != "" {
		out = append(out, line)
	}
	if len(out) > lines {
		out = out[:lines]
		out[lines-1] += " …"
	}
	for i := range out {
		out[i] = fit(out[i], size, bold, width)
	}
	return out
}

// fit shortens a text until it is no wider than width.
func fit(text string, size float64, bold bool, width float64) string {
	if widthOf(text, size, bold) <= width {
		return text
	}
	for n := utf8.RuneCountInString(text) - 1; n > 1; n-- {
		short := strings.TrimRight(string([]rune(text)[:n]), " …") + "…"
		if widthOf(short, size, bold) <= width {
			return short
		}
	}
	return "…"
}

// Lines is how many lines a text takes in a width, in a reader's type of a size.
func Lines(text string, size float64, bold bool, width float64) int {
	if text == "" {
		return 0
	}
	return len(wrap(text, size, bold, width, 100))
}
