package pictures

import (
	"strconv"

	"github.com/tdewolff/canvas"
)

// pathData writes a path in the notation of SVG, to a hundredth of a pixel. The writer
// of canvas keeps eight digits, which nobody sees and everybody downloads.
func pathData(p *canvas.Path) string {
	b := make([]byte, 0, 256)
	put := func(command byte, points ...canvas.Point) {
		b = append(b, command)
		for i, q := range points {
			if i > 0 {
				b = append(b, ' ')
			}
			b = appendCoordinate(b, q.X)
			b = append(b, ' ')
			b = appendCoordinate(b, q.Y)
		}
	}
	for s := p.ReplaceArcs().Scanner(); s.Scan(); {
		switch s.Cmd() {
		case canvas.MoveToCmd:
			put('M', s.End())
		case canvas.LineToCmd:
			put('L', s.End())
		case canvas.QuadToCmd:
			put('Q', s.CP1(), s.End())
		case canvas.CubeToCmd:
			put('C', s.CP1(), s.CP2(), s.End())
		case canvas.CloseCmd:
			b = append(b, 'z')
		}
	}
	return string(b)
}

func appendCoordinate(b []byte, x float64) []byte {
	n := int64(x*100 + 0.5)
	if x < 0 {
		n = -int64(-x*100 + 0.5)
	}
	return strconv.AppendFloat(b, float64(n)/100, 'f', -1, 64)
}
