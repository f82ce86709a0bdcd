package pictures

import (
	"image"
	"image/color"
	"image/png"
	"sync"
)

// mixes is how many steps there are between two inks in the palette of a PNG: enough
// that an edge looks smooth.
const mixes = 12

// palette holds the inks and the mixes of each with paper, faint and wash, on which
// everything is drawn.
var palette = sync.OnceValue(func() color.Palette {
	seen := map[color.RGBA]bool{}
	var out color.Palette
	put := func(c color.RGBA) {
		if !seen[c] && len(out) < 256 {
			seen[c] = true
			out = append(out, c)
		}
	}
	for _, ground := range []Role{Paper, Wash, Faint} {
		for _, ink := range []Role{Ink, Accent, Soft, Faint, Wash, Paper} {
			for k := 0; k <= mixes; k++ {
				put(mix(inks[ground], inks[ink], k))
			}
		}
	}
	return out
})

func mix(a, b color.RGBA, k int) color.RGBA {
	at := func(x, y uint8) uint8 { return uint8((int(x)*(mixes-k) + int(y)*k + mixes/2) / mixes) }
	return color.RGBA{at(a.R, b.R), at(a.G, b.G), at(a.B, b.B), 255}
}

// paletted brings a painted picture to the palette: a third of the bytes and of the work
// of compressing them.
func paletted(img *image.RGBA) *image.Paletted {
	p := palette()
	out := image.NewPaletted(img.Rect, p)
	memory := map[uint32]uint8{}
	last, index := uint32(0), uint8(0)
	for i := 0; i < len(out.Pix); i++ {
		px := img.Pix[4*i : 4*i+4 : 4*i+4]
		key := uint32(px[0])<<16 | uint32(px[1])<<8 | uint32(px[2])
		if key != last || i == 0 {
			known, ok := memory[key]
			if !ok {
				known = uint8(p.Index(color.RGBA{px[0], px[1], px[2], 255}))
				memory[key] = known
			}
			last, index = key, known
		}
		out.Pix[i] = index
	}
	return out
}

// buffers keeps the work space of the encoder between pictures.
var buffers = &bufferPool{}

type bufferPool struct{ pool sync.Pool }

func (p *bufferPool) Get() *png.EncoderBuffer {
	b, _ := p.pool.Get().(*png.EncoderBuffer)
	return b
}

func (p *bufferPool) Put(b *png.EncoderBuffer) { p.pool.Put(b) }
