package pages

import (
	"math"
	"net/url"
	"strconv"
	"strings"

	"commensal/internal/pages/pictures"
	"commensal/internal/pages/words"
)

// The widths in CSS pixels in which pictures are drawn: for a card and for a page on the
// narrowest phone, for a larger phone, and for anything wider. Shown no smaller than
// drawn, type keeps its size.
const (
	cardWidth, pageWidth   = 252.0, 288.0
	middleWidth, wideWidth = 400.0, 600.0
)

// figure is a picture in a page.
type figure struct {
	Narrow, Middle, Wide string // addresses
	W, H                 int    // of the narrow one, in CSS pixels
	Alt, Caption         string
}

// drawing draws a picture as wide as asked.
type drawing func(width float64) *pictures.Scene

// figure places a picture of the thing at an address, path and query.
func (q *request) figure(path, query, name string, draw drawing) *figure {
	return q.figureFrom(pageWidth, path, query, name, draw)
}

// figureFrom is figure with the width for the narrowest phone.
func (q *request) figureFrom(width float64, path, query, name string, draw drawing) *figure {
	s := draw(width)
	at := func(w float64) string { return pictureAt(path, query, name, ".svg", w) }
	return &figure{Narrow: at(width), Middle: at(middleWidth), Wide: at(wideWidth),
		W: int(width), H: int(math.Ceil(s.H)), Alt: words.Clip(strings.TrimSpace(s.Title+". "+s.Desc), maxAlt)}
}

// maxAlt is the longest description of a picture in a page, in characters: what a long
// list shows stands below the picture too, and the picture itself says all of it.
const maxAlt = 900

// pictureAt is the address of a picture; an empty name is the card, a width of 0 its own.
func pictureAt(path, query, name, ext string, width float64) string {
	var b strings.Builder
	b.WriteString(path + ext)
	put := func(s string) {
		if s == "" {
			return
		}
		if strings.Contains(b.String(), "?") {
			b.WriteByte('&')
		} else {
			b.WriteByte('?')
		}
		b.WriteString(s)
	}
	put(query)
	if name != "" {
		put("picture=" + name)
	}
	if width > 0 {
		put("width=" + strconv.Itoa(int(width)))
	}
	return b.String()
}

// widthOf is the width that a picture is asked in: one of a few, so that there are few to
// keep.
func widthOf(query url.Values) float64 {
	asked := number(query.Get("width"))
	for _, w := range [...]float64{cardWidth, pageWidth, 320, middleWidth, pictures.CardWidth, wideWidth, 640} {
		if asked == w {
			return w
		}
	}
	return pictures.CardWidth
}

// picture answers a picture: the card where none is named, else the named one. A PNG of
// the card lies, for link previews; others stand as they are, twice as sharp.
func (q *request) picture(ext string, card *pictures.Card, named map[string]drawing) *reply {
	name := q.query.Get("picture")
	if name != "" && named[name] == nil {
		return q.missing()
	}
	var scene *pictures.Scene
	switch {
	case name != "":
		scene = named[name](widthOf(q.query))
	case ext == ".png":
		scene = card.Preview()
	default:
		scene = card.Upright(widthOf(q.query))
	}
	if ext == ".svg" {
		return made(svgType, scene.SVG(), picturePolicy, pictureAge)
	}
	body, err := scene.PNG(pngScale)
	if err != nil {
		return q.broken(err)
	}
	return made(pngType, body, dataPolicy, pictureAge)
}

// pngScale is the pixels to a CSS pixel: a preview of 600 × 315 becomes 1200 × 630.
const pngScale = 2

// cutExt parts the ending of a picture from the last part of a path.
func cutExt(s string) (rest, ext string) {
	for _, e := range []string{".svg", ".png"} {
		if strings.HasSuffix(s, e) {
			return strings.TrimSuffix(s, e), e
		}
	}
	return s, ""
}
