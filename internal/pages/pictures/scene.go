package pictures

import "github.com/tdewolff/canvas"

// Role says what ink a mark is drawn in. Colours belong to the roles, so that a dark
// scheme is another palette.
type Role uint8

// The roles.
const (
	Paper  Role = iota
	Ink         // outlines, what must be read
	Soft        // secondary words and axes
	Faint       // grids, and fills behind words
	Accent      // the one accent
	Wash        // the accent, thin: shaded areas
)

// Scene is a picture before it is written as SVG or PNG.
type Scene struct {
	W, H        float64 // CSS pixels
	Title, Desc string
	Marks       []Mark
}

// Mark is one thing drawn: a path that is filled or stroked, or a label.
type Mark struct {
	Name     string // what it is, for example "tolerates"; may be empty
	Of       string // whose it is, for example an id or a parameter; may be empty
	From, To float64
	Valued   bool // From and To are set: the values at the left and the right end

	Path   *canvas.Path
	Role   Role
	Stroke float64 // width; 0 fills
	Dash   []float64

	Text   string
	At     canvas.Point // baseline
	Size   float64
	Bold   bool
	Anchor float64 // 0 starts at At, 0.5 is centred on it, 1 ends there
}

// fill adds a filled path.
func (s *Scene) fill(role Role, p *canvas.Path) *Mark {
	return s.add(Mark{Path: p, Role: role})
}

// line adds a stroked path.
func (s *Scene) line(role Role, width float64, p *canvas.Path, dash ...float64) *Mark {
	return s.add(Mark{Path: p, Role: role, Stroke: width, Dash: dash})
}

func (s *Scene) add(m Mark) *Mark {
	s.Marks = append(s.Marks, m)
	return &s.Marks[len(s.Marks)-1]
}

// label adds a text that starts at x, with its baseline at y.
func (s *Scene) label(x, y, size float64, role Role, text string) *Mark {
	return s.add(Mark{Text: text, At: canvas.Point{X: x, Y: y}, Size: size, Role: role})
}

// names says what a mark is and whose.
func (m *Mark) names(name, of string) *Mark {
	m.Name, m.Of = name, of
	return m
}

// stands says which values the ends of a mark stand for.
func (m *Mark) stands(from, to float64) *Mark {
	m.From, m.To, m.Valued = from, to, true
	return m
}

func (m *Mark) bold() *Mark { m.Bold = true; return m }

func (m *Mark) anchor(a float64) *Mark { m.Anchor = a; return m }

// box is a rectangle with corners at x0, y0 and x1, y1.
func box(x0, y0, x1, y1 float64) *canvas.Path {
	return canvas.Rectangle(x1-x0, y1-y0).Translate(x0, y0)
}

// segment is a straight line.
func segment(x0, y0, x1, y1 float64) *canvas.Path {
	p := &canvas.Path{}
	p.MoveTo(x0, y0)
	p.LineTo(x1, y1)
	return p
}

// Small and Body are the sizes of type in a picture, in CSS pixels; nothing is smaller.
const (
	Small = 12.5
	Body  = 14.0
)
