// Package site gives the contract as it is, and a page for each type of problem. What else people see is package
// internal/pages.
package site

import (
	"bytes"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"net/http"
	"sync"

	"commensal/api/respond"

	"github.com/labstack/echo/v4"
)

//go:embed pages
var pageFiles embed.FS

// pages holds the pages for people and the contract, all made when one is first asked
// for: a caller of single questions in process waits for none of them.
type pages struct {
	contract *respond.Reply
	problems map[string]*respond.Reply
}

// Site gives the contract and a page for each problem type.
type Site struct{ pages func() (*pages, error) }

// New makes the room. What it shows is made when something is first asked for.
func New(contract []byte) *Site {
	return &Site{pages: sync.OnceValues(func() (*pages, error) { return newPages(contract) })}
}

// newPages renders every page once.
func newPages(contract []byte) (*pages, error) {
	r, err := newRenderer()
	if err != nil {
		return nil, err
	}
	s := &pages{problems: map[string]*respond.Reply{}}
	for _, t := range respond.ProblemTypes {
		s.problems[string(t.Slug)] = r.page(t.Title, "problem", t)
	}
	sum := sha256.Sum256(contract)
	s.contract = &respond.Reply{Status: http.StatusOK, Media: respond.YAMLType, Body: contract,
		ETag: `"` + base64.RawURLEncoding.EncodeToString(sum[:18]) + `"`}
	return s, r.err
}

// renderer renders pages; the first error stays in err.
type renderer struct {
	templates *template.Template
	policy    string
	err       error
}

func newRenderer() (*renderer, error) {
	style, err := pageFiles.ReadFile("pages/style.css")
	if err != nil {
		return nil, err
	}
	sum := sha256.Sum256(style)
	r := &renderer{policy: "default-src 'none'; style-src 'sha256-" + base64.StdEncoding.EncodeToString(sum[:]) +
		"'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"}
	r.templates, err = template.New("").
		Funcs(template.FuncMap{"style": func() template.CSS { return template.CSS(style) }}).
		ParseFS(pageFiles, "pages/*.html")
	return r, err
}

// page renders one template inside the common frame.
func (r *renderer) page(heading, name string, data any) *respond.Reply {
	var body, whole bytes.Buffer
	err := r.templates.ExecuteTemplate(&body, name, data)
	if err == nil {
		err = r.templates.ExecuteTemplate(&whole, "page", struct {
			Heading string
			Body    template.HTML
		}{heading, template.HTML(body.String())}) // escaped by its own template
	}
	if err != nil && r.err == nil {
		r.err = fmt.Errorf("api: page %s: %w", name, err)
	}
	return &respond.Reply{Status: http.StatusOK, Media: respond.HTMLType, Body: whole.Bytes(), Policy: r.policy}
}

// GetContract is the contract itself.
func (s *Site) GetContract(c echo.Context) error {
	made, err := s.pages()
	if err != nil {
		return err
	}
	return respond.To(c).Send(made.contract, nil)
}

// GetProblemType is the page about one problem type.
func (s *Site) GetProblemType(c echo.Context, problem string) error {
	made, err := s.pages()
	if err != nil {
		return err
	}
	if page, ok := made.problems[problem]; ok {
		return respond.To(c).Send(page, nil)
	}
	return &respond.Fault{Slug: respond.NotFound, Detail: "There is no problem type of that name; /docs lists them."}
}
