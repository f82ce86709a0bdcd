package pictures

import (
	"bytes"
	"image"
	"image/color"
	"image/png"
	"strings"
	"sync"

	"github.com/tdewolff/canvas"
	"github.com/tdewolff/canvas/renderers/rasterizer"
)

// inks are the colours of the roles on light paper, the same as in [style].
var inks = [...]color.RGBA{
	Paper: {0xfb, 0xf9, 0xf4, 255}, Ink: {0x1c, 0x25, 0x26, 255}, Soft: {0x51, 0x5c, 0x5b, 255},
	Faint: {0xe3, 0xe0, 0xd6, 255}, Accent: {0x8a, 0x3b, 0x12, 255}, Wash: {0xf0, 0xdc, 0xcb, 255},
}

// PNG paints the scene on light paper, scale pixels to each CSS pixel.
func (s *Scene) PNG(scale float64) ([]byte, error) {
	c := canvas.New(s.W, s.H)
	ctx := canvas.NewContext(c)
	for i := range s.Marks {
		s.paint(ctx, &s.Marks[i])
	}
	img := newCanvas(int(s.W*scale+0.5), int(s.H*scale+0.5))
	defer canvases.Put(img)
	fillPaper(img)
	ras := rasterizer.FromImage(img, canvas.DPMM(scale), canvas.LinearColorSpace{})
	c.RenderTo(ras)
	ras.Close()
	var out bytes.Buffer
	encoder := png.Encoder{CompressionLevel: png.BestSpeed, BufferPool: buffers}
	small := paletted(img)
	defer plates.Put(small)
	err := encoder.Encode(&out, small)
	return out.Bytes(), err
}

// canvases and plates keep the pixels between pictures: a preview takes four megabytes.
var canvases, plates sync.Pool

func newCanvas(w, h int) *image.RGBA {
	img, _ := canvases.Get().(*image.RGBA)
	if img == nil || cap(img.Pix) < 4*w*h {
		return image.NewRGBA(image.Rect(0, 0, w, h))
	}
	img.Pix, img.Stride, img.Rect = img.Pix[:4*w*h], 4*w, image.Rect(0, 0, w, h)
	return img
}

func newPlate(r image.Rectangle, p color.Palette) *image.Paletted {
	img, _ := plates.Get().(*image.Paletted)
	if img == nil || cap(img.Pix) < r.Dx()*r.Dy() {
		return image.NewPaletted(r, p)
	}
	img.Pix, img.Stride, img.Rect = img.Pix[:r.Dx()*r.Dy()], r.Dx(), r
	return img
}

func fillPaper(img *image.RGBA) {
	p := inks[Paper]
	row := img.Pix[:img.Stride]
	for x := 0; x < len(row); x += 4 {
		row[x], row[x+1], row[x+2], row[x+3] = p.R, p.G, p.B, p.A
	}
	for y := img.Stride; y < len(img.Pix); y += img.Stride {
		copy(img.Pix[y:y+img.Stride], row)
	}
}

// paint draws one mark. Scenes count y downwards, canvas upwards.
func (s *Scene) paint(ctx *canvas.Context, m *Mark) {
	down := canvas.Identity.Translate(0, s.H).Scale(1, -1)
	ctx.ResetStyle()
	ink := inks[m.Role]
	switch {
	case m.Text != "":
		s.paintText(ctx, m)
	case m.Path == nil || m.Path.Empty():
	case m.Stroke > 0:
		ctx.SetFillColor(canvas.Transparent)
		ctx.SetStrokeColor(ink)
		ctx.SetStrokeWidth(m.Stroke)
		ctx.SetStrokeCapper(canvas.RoundCap)
		ctx.SetStrokeJoiner(canvas.RoundJoin)
		ctx.SetDashes(0, m.Dash...)
		ctx.DrawPath(0, 0, m.Path.Copy().Transform(down))
	default:
		ctx.SetFillColor(ink)
		ctx.SetStrokeColor(canvas.Transparent)
		ctx.DrawPath(0, 0, m.Path.Copy().Transform(down))
	}
}

// paintText paints word by word: filling one long path costs the square of its length.
func (s *Scene) paintText(ctx *canvas.Context, m *Mark) {
	ctx.SetFillColor(inks[m.Role])
	ctx.SetStrokeColor(canvas.Transparent)
	type word struct {
		path *canvas.Path
		x    float64
	}
	set, x := face(m.Size, m.Bold), 0.0
	space := set.TextWidth(" ")
	var words []word
	for text := range strings.SplitSeq(m.Text, " ") {
		path, width, err := set.ToPath(text)
		if err != nil {
			return // a text that the type cannot set stays away from the picture; it is in the page
		}
		words = append(words, word{path, x})
		x += width + space
	}
	for _, w := range words {
		ctx.DrawPath(m.At.X-m.Anchor*(x-space)+w.x, s.H-m.At.Y, w.path)
	}
}
