package pictures

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/xml"
	"math"
	"strconv"
)

// style gives each role its colour in both schemes. It is the same in every picture, so
// that a policy can allow it by its hash.
const style = `text{font-family:system-ui,"Go","DejaVu Sans",sans-serif}` +
	`.b{font-weight:700}.l{fill:none;stroke-linecap:round;stroke-linejoin:round}` +
	`.f0{fill:#fbf9f4}.f1{fill:#1c2526}.f2{fill:#515c5b}.f3{fill:#e3e0d6}.f4{fill:#8a3b12}.f5{fill:#f0dccb}` +
	`.s0{stroke:#fbf9f4}.s1{stroke:#1c2526}.s2{stroke:#515c5b}.s3{stroke:#c9c5b8}.s4{stroke:#8a3b12}.s5{stroke:#f0dccb}` +
	`@media(prefers-color-scheme:dark){.f0{fill:#15191a}.f1{fill:#ece8de}.f2{fill:#b3b8b3}.f3{fill:#2b3232}.f4{fill:#f0a173}.f5{fill:#4a2f20}` +
	`.s0{stroke:#15191a}.s1{stroke:#ece8de}.s2{stroke:#b3b8b3}.s3{stroke:#4a5352}.s4{stroke:#f0a173}.s5{stroke:#4a2f20}}`

// StyleHash is the hash of the style in every SVG, as a policy names it.
var StyleHash = func() string {
	sum := sha256.Sum256([]byte(style))
	return "'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) + "'"
}()

// SVG writes the scene as a document of its own, with its title and description for
// screen readers. Marks keep their names and values as data attributes.
func (s *Scene) SVG() []byte {
	w := &svgWriter{}
	w.Grow(4096 + 96*len(s.Marks))
	w.str(`<svg xmlns="http://www.w3.org/2000/svg" role="img" aria-labelledby="t d" viewBox="0 0 `)
	w.num(s.W).str(" ").num(s.H).str(`" width="`).num(s.W).str(`" height="`).num(s.H).str(`"><title id="t">`)
	w.text(s.Title).str(`</title><desc id="d">`).text(s.Desc).str(`</desc><style>` + style + `</style>`)
	w.str(`<rect class="f0" width="`).num(s.W).str(`" height="`).num(s.H).str(`"/>`)
	for i := range s.Marks {
		w.mark(&s.Marks[i])
	}
	w.str("</svg>\n")
	return w.Bytes()
}

type svgWriter struct{ bytes.Buffer }

func (w *svgWriter) str(s string) *svgWriter { w.WriteString(s); return w }

// num writes a coordinate to a hundredth of a pixel.
func (w *svgWriter) num(x float64) *svgWriter {
	x = math.Round(x*100)/100 + 0
	w.Write(strconv.AppendFloat(w.AvailableBuffer(), x, 'f', -1, 64))
	return w
}

func (w *svgWriter) text(s string) *svgWriter {
	if err := xml.EscapeText(w, []byte(s)); err != nil {
		panic(err) // a buffer never fails
	}
	return w
}

func (w *svgWriter) mark(m *Mark) {
	if m.Text != "" {
		w.label(m)
		return
	}
	if m.Path == nil || m.Path.Empty() {
		return
	}
	w.str(`<path class="`)
	if m.Stroke > 0 {
		w.str("l s").num(float64(m.Role)).str(`" stroke-width="`).num(m.Stroke)
	} else {
		w.str("f").num(float64(m.Role))
	}
	w.str(`"`)
	w.dash(m.Dash)
	w.data(m)
	w.str(` d="`).str(pathData(m.Path)).str(`"/>`)
}

func (w *svgWriter) dash(dash []float64) {
	if len(dash) == 0 {
		return
	}
	w.str(` stroke-dasharray="`)
	for i, d := range dash {
		if i > 0 {
			w.str(" ")
		}
		w.num(d)
	}
	w.str(`"`)
}

func (w *svgWriter) data(m *Mark) {
	if m.Name != "" {
		w.str(` data-mark="`).text(m.Name).str(`"`)
	}
	if m.Of != "" {
		w.str(` data-of="`).text(m.Of).str(`"`)
	}
	if m.Valued {
		w.str(` data-from="`).num(m.From).str(`" data-to="`).num(m.To).str(`"`)
	}
}

func (w *svgWriter) label(m *Mark) {
	w.str(`<text class="f`).num(float64(m.Role))
	if m.Bold {
		w.str(" b")
	}
	w.str(`" x="`).num(m.At.X).str(`" y="`).num(m.At.Y).str(`" font-size="`).num(m.Size).str(`"`)
	if m.Anchor == 0.5 {
		w.str(` text-anchor="middle"`)
	} else if m.Anchor == 1 {
		w.str(` text-anchor="end"`)
	}
	w.data(m)
	w.str(">").text(m.Text).str("</text>")
}
