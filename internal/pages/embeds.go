package pages

import (
	"bytes"
	"html"
	"math"
	"net/http"
	"net/url"
	"strconv"
	"strings"

	"commensal/internal/pages/embed"
	"commensal/internal/pages/links"
	"commensal/internal/pages/pictures"
)

// shareRow is a text to copy.
type shareRow struct {
	ID, Label, Text string
	Tall            bool
}

// maxPosted is the longest path in bytes whose card is offered as text for a post, which
// holds it several times over.
const maxPosted = 400

// shareRows are the ways to pass an answer on.
func (q *request) shareRows(c *pictures.Card, path, frame, preview string) []shareRow {
	post := q.postOf(c, path, preview)
	if len(path) > maxPosted {
		return []shareRow{{"link", q.words.Say("share.link"), q.origin + path, false}, {"embed", q.words.Say("share.embed"), q.frameCode(c, frame, pictures.CardWidth), true}}
	}
	return []shareRow{
		{"link", q.words.Say("share.link"), q.origin + path, false},
		{"markdown", q.words.Say("share.markdown"), post.Markdown(), true},
		{"bbcode", q.words.Say("share.bbcode"), post.BBCode(), true},
		{"embed", q.words.Say("share.embed"), q.frameCode(c, frame, pictures.CardWidth), true},
		{"picture", q.words.Say("share.picture"), q.origin + preview, false},
	}
}

func (q *request) postOf(c *pictures.Card, path, preview string) embed.Post {
	return embed.Post{Verdict: c.Verdict, Sentence: c.Sentence, Kinds: c.Kinds, Level: c.Level, Change: c.Change, Guidance: c.Guidance,
		More: q.words.Say("pair.more"), URL: q.origin + path, Image: q.origin + preview}
}

// asPost answers the card as text for a post.
func (q *request) asPost(c *pictures.Card, path, preview string) *reply {
	post := q.postOf(c, path, preview)
	if q.post() == "bbcode" {
		return made(plainType, []byte(post.BBCode()+"\n"), dataPolicy, pageAge)
	}
	return made(markdownType+"; charset=utf-8", []byte(post.Markdown()+"\n"), dataPolicy, pageAge)
}

// The widths that a frame may have, in CSS pixels.
var frameWidths = []float64{320, 480, 640}

// frameWidth is the widest of them that is not wider than asked; 0 asks for nothing.
func frameWidth(asked float64) float64 {
	best := frameWidths[0]
	for _, w := range frameWidths {
		if asked == 0 && w <= pictures.CardWidth || w <= asked {
			best = w
		}
	}
	return best
}

// frameHeight is how tall a card in a frame may get, in CSS pixels: the lines of its
// texts in the sizes of embed.css, its picture, the gaps between them, and a line to
// spare for a reader's wider type.
func frameHeight(c *pictures.Card, width float64) float64 {
	inner := width - 2*16 - 3
	height := 2*12.8 + 3.0 // padding and edge
	text := func(s string, size float64, bold bool, lead, gap, less float64) {
		if s != "" {
			height += math.Ceil(float64(pictures.Lines(s, size, bold, inner-less))*size*lead) + gap
		}
	}
	text(c.Verdict, 28, true, 1.15, 0, 0)
	text(c.Sentence, 17.6, true, 1.35, 9.6, 0)
	text(c.Kinds, 15.2, false, 1.45, 9.6, 0)
	text(c.Level, 15.2, true, 1.45, 9.6, 0)
	text(c.Change, 15.2, false, 1.45, 12.8, 14)
	text(c.Guidance, 15.2, false, 1.45, 9.6, 0)
	text(c.More, 16, true, 1.45, 14, 0)
	if c.Picture != nil {
		drawn := cardWidth
		if width >= 28*16 {
			drawn = middleWidth
		}
		height += c.Picture(drawn).H*math.Min(inner, 512)/drawn + 2*9.6
	}
	return math.Ceil(height) + 24
}

// frameCode is the element that puts the card into another page.
func (q *request) frameCode(c *pictures.Card, frame string, width float64) string {
	return `<iframe src="` + html.EscapeString(q.origin+frame) + `" width="` + strconv.Itoa(int(width)) + `" height="` +
		strconv.Itoa(int(frameHeight(c, width))) + `" title="` + html.EscapeString(c.Title) +
		`" loading="lazy" frameborder="0" sandbox="allow-scripts allow-same-origin allow-popups"></iframe>`
}

// thing is what can be embedded: a card, the page and the frame it comes from.
type thing struct {
	card                 pictures.Card
	path, frame, preview string
	view                 cardView
}

// thingAt is what stands at an address of ours, or nil.
func (q *request) thingAt(path string, query url.Values) *thing {
	parts := strings.Split(strings.TrimPrefix(path, "/"), "/")
	switch {
	case len(parts) == 3 && parts[0] == "pairings":
		return q.pairThing(parts[1], parts[2], query)
	case len(parts) == 2 && parts[0] == "lists":
		return q.listThing(parts[1])
	case len(parts) == 2 && parts[0] == "species":
		return q.speciesThing(parts[1])
	}
	return nil
}

func (q *request) pairThing(first, second string, query url.Values) *thing {
	p, faults := links.ReadPair(first, second, query)
	a, b := q.Resolve(first), q.Resolve(second)
	if !a.Found || !b.Found || len(faults) > 0 {
		return nil
	}
	p.First, p.Second = a.Kind.ID, b.Kind.ID
	p.OneGroup()
	answer, _ := q.Pair(p)
	t := &thing{card: q.pairCard(&answer), path: p.Path(), frame: "/embed/pairings/" + p.Rest(), preview: pictureAt(p.Bare(), p.Query(), "", ".png", 0), view: q.pairCardView(&answer)}
	return t
}

func (q *request) listThing(text string) *thing {
	l, faults := links.ReadList(text)
	l, ask := q.settle(l, faults, "/lists")
	if ask != nil {
		return nil
	}
	answer, err := q.List(l)
	if err != nil {
		return nil
	}
	view := q.listCardView(&answer)
	view.Picture = q.figureFrom(cardWidth, l.Path(), "", "scale", q.listDrawings(&answer)["scale"])
	return &thing{q.listCard(&answer), l.Path(), "/embed" + l.Path(), pictureAt(l.Path(), "", "", ".png", 0), view}
}

func (q *request) speciesThing(name string) *thing {
	n := q.Resolve(name)
	if !n.Found {
		return nil
	}
	s, _ := q.Species(n.Kind.ID)
	c, path := q.speciesCard(&s), "/species/"+s.Kind.ID
	return &thing{c, path, "/embed" + path, pictureAt(path, "", "", ".png", 0), cardView{ID: "answer", Verdict: c.Verdict, Sentence: c.Sentence,
		Kinds: c.Kinds, Guidance: c.Guidance, Picture: q.figureFrom(cardWidth, path, "", "body", c.Picture)}}
}

func (q *request) embedPair() *reply {
	return q.embedded(q.pairThing(q.value("first"), q.value("second"), q.query))
}
func (q *request) embedList() *reply    { return q.embedded(q.listThing(q.value("list"))) }
func (q *request) embedSpecies() *reply { return q.embedded(q.speciesThing(q.value("species"))) }

type embedPage struct {
	Lang, Title, Canonical string
	Card                   cardView
}

// embedded is a card for a frame. It is the only answer that may be put into one.
func (q *request) embedded(t *thing) *reply {
	if t == nil {
		return q.missing()
	}
	t.view.Outside, t.view.MorePath, t.view.More = true, t.path, q.words.Say("pair.more")
	var b bytes.Buffer
	if err := q.render.pages["embed"].ExecuteTemplate(&b, "embed", embedPage{q.words.Language(), t.card.Title, q.origin + t.path, t.view}); err != nil {
		return q.broken(err)
	}
	return made(htmlType, b.Bytes(), embedPolicy, pageAge)
}

// oembed answers oEmbed 1.0 for a page of ours; no other address is ever looked at.
func (q *request) oembed() *reply {
	u, err := url.Parse(q.query.Get("url"))
	if err != nil || len(q.query.Get("url")) > maxURI || u.Host != "" && !strings.EqualFold(u.Host, hostOf(q.origin)) {
		return q.missing()
	}
	t := q.thingAt(u.Path, u.Query())
	if t == nil {
		return q.missing()
	}
	width := frameWidth(number(q.query.Get("maxwidth")))
	height := frameHeight(&t.card, width)
	if limit := number(q.query.Get("maxheight")); limit > 0 {
		height = math.Min(height, limit)
	}
	answer := embed.OEmbed{Type: "rich", Version: "1.0", Title: t.card.Title, ProviderName: q.words.Say("site.name"), ProviderURL: q.origin + "/",
		CacheAge: 86400, HTML: q.frameCode(&t.card, t.frame, width), Width: int(width), Height: int(height),
		ThumbnailURL: q.origin + t.preview, ThumbnailWidth: 1200, ThumbnailHeight: 630}
	answer.HTML = strings.Replace(answer.HTML, `height="`+strconv.Itoa(int(frameHeight(&t.card, width)))+`"`, `height="`+strconv.Itoa(int(height))+`"`, 1)
	var body []byte
	media := jsonType
	switch q.query.Get("format") {
	case "", "json":
		body, err = answer.JSON()
	case "xml":
		media = "text/xml; charset=utf-8"
		body, err = answer.XML()
	default:
		return made(plainType, []byte("The formats are json and xml.\n"), dataPolicy, noAge).with(http.StatusNotImplemented)
	}
	if err != nil {
		return q.broken(err)
	}
	return made(media, body, dataPolicy, pictureAge)
}

func hostOf(origin string) string {
	_, host, _ := strings.Cut(origin, "://")
	return host
}

// number reads a whole number of pixels; 0 where there is none.
func number(s string) float64 {
	n, err := strconv.Atoi(s)
	if err != nil || n < 0 {
		return 0
	}
	return float64(n)
}

func queryEscape(s string) string { return url.QueryEscape(s) }
