package pages

import (
	"bytes"
	"fmt"
	"html/template"
	"net/http"

	"commensal/internal/pages/words"
)

// renderer holds the templates, each page's with the frame and the parts.
type renderer struct {
	assets *assets
	pages  map[string]*template.Template
}

// pageNames are the templates that fill the frame.
var pageNames = []string{"home", "pair", "list", "species", "search", "ask", "reason", "counter", "adopt", "docs", "missing"}

func newRenderer(w words.Words) (*renderer, error) {
	a, err := newAssets()
	if err != nil {
		return nil, err
	}
	r := &renderer{a, map[string]*template.Template{}}
	funcs := template.FuncMap{
		"say":   w.Say,
		"asset": func(name string) string { return a.hashed[name] },
	}
	for _, name := range pageNames {
		r.pages[name], err = template.New(name).Funcs(funcs).ParseFS(templateFiles, "templates/frame.html", "templates/"+name+".html")
		if err != nil {
			return nil, fmt.Errorf("pages: template %s: %w", name, err)
		}
	}
	r.pages["embed"], err = template.New("embed").Funcs(funcs).ParseFS(templateFiles, "templates/frame.html", "templates/embed.html", "templates/missing.html")
	return r, err
}

// frame is what every page has around its own part.
type frame struct {
	Lang, Title, Description string
	Path                     string // of the page, for the canonical link; empty for none
	Canonical                string
	ImagePath, Image         string // of the preview; empty for none
	ImageAlt                 string
	OEmbed                   string
	Class                    string
	NoIndex                  bool
	Nav                      []navLink
	Here                     string // path of the navigation's entry
	Edition                  string
	Embeddable               bool
	Body                     any
}

type navLink struct {
	Path, Label string
	Here        bool
}

// Link is a link in a page.
type Link struct{ Path, Label string }

type link = Link

// page renders a page.
func (q *request) page(name string, f frame) *reply {
	q.complete(&f)
	var b bytes.Buffer
	b.Grow(16 << 10)
	if err := q.render.pages[name].ExecuteTemplate(&b, "frame", &f); err != nil {
		return q.broken(err)
	}
	return made(htmlType, b.Bytes(), pagePolicy, pageAge)
}

// complete fills in what follows from the rest.
func (q *request) complete(f *frame) {
	f.Lang = q.words.Language()
	if f.Description == "" {
		f.Description = q.words.Say("home.description")
	}
	if f.Path != "" {
		f.Canonical = q.origin + f.Path
	}
	if f.ImagePath != "" {
		f.Image = q.origin + f.ImagePath
		f.ImageAlt = words.Clip(f.Description, 400)
	}
	if f.Embeddable {
		f.OEmbed = q.origin + "/oembed?url=" + template.URLQueryEscaper(f.Canonical)
	}
	for _, n := range []link{{"/", "nav.home"}, {"/species", "nav.species"}, {"/counter", "nav.counter"}, {"/adopt", "nav.adopt"}, {"/docs", "nav.docs"}} {
		f.Nav = append(f.Nav, navLink{n.Path, q.words.Say(n.Label), n.Path == f.Here})
	}
	if q.Answers != nil {
		f.Edition = q.words.Say("foot.edition", "model", q.Model(), "revision", q.Revision(), "kinds", q.Kinds())
	}
}

// broken is the answer when a template cannot be filled, which only a slip of ours can
// cause. The cause is in the answer's header for whoever runs the service, without data.
func (q *request) broken(error) *reply {
	return made(plainType, []byte("The page could not be made. Please tell whoever runs this service.\n"), dataPolicy, noAge).with(http.StatusInternalServerError)
}

// missing is the page for an address that leads nowhere.
func (q *request) missing() *reply {
	return q.page("missing", frame{Title: q.words.Say("missing.title"), NoIndex: true, Body: missingPage{
		q.words.Say("missing.title"), q.words.Say("missing.lead"),
		[]link{{"/", q.words.Say("home.title")}, {"/species", q.words.Say("search.title")}, {"/reasons", q.words.Say("reason.index")}, {"/docs", q.words.Say("docs.title")}},
	}}).with(http.StatusNotFound)
}

type missingPage struct {
	Heading, Lead string
	Links         []link
}

// busy is the page while the first catalogue is being loaded.
func (q *request) busy() *reply {
	r := q.page("missing", frame{Title: q.words.Say("busy.title"), NoIndex: true, Body: missingPage{Heading: q.words.Say("busy.title"), Lead: q.words.Say("busy.lead")}}).
		with(http.StatusServiceUnavailable)
	r.header["Retry-After"] = []string{"5"}
	return r
}
