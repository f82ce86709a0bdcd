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

// nearest remembers the palette's nearest colour for the colours met so far. Every
// picture is drawn in the same inks, so there are few.
var nearest = &memory{index: map[uint32]uint8{}}

type memory struct {
	sync.RWMutex
	index map[uint32]uint8
}

// maxMemory bounds how many colours are remembered.
const maxMemory = 1 << 14

func (m *memory) of(key uint32) uint8 {
	m.RLock()
	known, ok := m.index[key]
	m.RUnlock()
	if ok {
		return known
	}
	known = uint8(palette().Index(color.RGBA{uint8(key >> 16), uint8(key >> 8), uint8(key), 255}))
	m.Lock()
	defer m.Unlock()
	if len(m.index) < maxMemory {
		m.index[key] = known
	}
	return known
}

// paletted brings a painted picture to the palette: a third of the bytes and of the work
// of compressing them.
func paletted(img *image.RGBA) *image.Paletted {
	out := newPlate(img.Rect, palette())
	var near [1 << 10]struct { // the colours met last, by their low bits
		key   uint32
		index uint8
	}
	for i := range out.Pix {
		px := img.Pix[4*i : 4*i+4 : 4*i+4]
		key := uint32(px[0])<<16 | uint32(px[1])<<8 | uint32(px[2])
		slot := &near[(key^key>>7)&(1<<10-1)]
		if slot.key != key || key == 0 {
			slot.key, slot.index = key, nearest.of(key)
		}
		out.Pix[i] = slot.index
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
