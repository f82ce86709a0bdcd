package api

import (
	"bytes"
	"context"
	"crypto/sha256"
	"embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"net/http"

	"commensal/api/gen"
)

//go:embed pages
var pageFiles embed.FS

// site holds the pages for people and the contract, all made when one is first asked
// for: a caller of single questions in process waits for none of them.
type site struct {
	home, docs, contract *reply
	problems             map[string]*reply
}

// newSite renders every page once.
func newSite(contract []byte) (*site, error) {
	r, err := newRenderer()
	if err != nil {
		return nil, err
	}
	docs, err := newDocPage(contract)
	if err != nil {
		return nil, err
	}
	s := &site{problems: map[string]*reply{}}
	s.home = r.page("Can these fish live together?", "home", nil)
	s.docs = r.page("Documentation", "docs", docs)
	for _, t := range problemTypes {
		s.problems[string(t.Slug)] = r.page(t.Title, "problem", t)
	}
	sum := sha256.Sum256(contract)
	s.contract = &reply{status: http.StatusOK, media: yamlType, body: contract,
		etag: `"` + base64.RawURLEncoding.EncodeToString(sum[:18]) + `"`}
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
func (r *renderer) page(heading, name string, data any) *reply {
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
	return &reply{status: http.StatusOK, media: htmlType, body: whole.Bytes(), policy: r.policy}
}

// GetHome is the page that says what this is.
func (s *Server) GetHome(context.Context, gen.GetHomeRequestObject) (gen.GetHomeResponseObject, error) {
	site, err := s.site()
	if err != nil {
		return nil, err
	}
	return site.home, nil
}

// GetDocs is the contract as a readable page.
func (s *Server) GetDocs(context.Context, gen.GetDocsRequestObject) (gen.GetDocsResponseObject, error) {
	site, err := s.site()
	if err != nil {
		return nil, err
	}
	return site.docs, nil
}

// GetContract is the contract itself.
func (s *Server) GetContract(context.Context, gen.GetContractRequestObject) (gen.GetContractResponseObject, error) {
	site, err := s.site()
	if err != nil {
		return nil, err
	}
	return site.contract, nil
}

// GetProblem is the page about one problem type.
func (s *Server) GetProblem(_ context.Context, r gen.GetProblemRequestObject) (gen.GetProblemResponseObject, error) {
	site, err := s.site()
	if err != nil {
		return nil, err
	}
	if page, ok := site.problems[r.Problem]; ok {
		return page, nil
	}
	return nil, &fault{slug: notFound, detail: "There is no problem type of that name; /docs lists them."}
}
