package api

import (
	"net/http"
	"slices"
	"strings"

	"commensal/api/middleware"
	"commensal/api/respond"
	"commensal/internal/pages"

	"github.com/labstack/echo/v4"
)

// newPages are the pages for people, over the same books as the lookups.
func newPages(cfg Config, contract []byte) (*pages.Pages, error) {
	problems := make([]pages.Link, len(respond.ProblemTypes))
	for i, t := range respond.ProblemTypes {
		problems[i] = pages.Link{Path: "/problems/" + string(t.Slug), Label: t.Title}
	}
	return pages.New(pages.Config{Book: cfg.Book, Contract: contract, Problems: problems, PublicURL: cfg.PublicURL, Now: cfg.Now,
		CacheBytes: max(cfg.CacheBytes/2, 0)})
}

// routePages answers the pages beside the operations of the contract, of which they are none. Those that judge a list wait for a
// place as requests about lists do.
func (s *Server) routePages() {
	if s.pages == nil {
		return
	}
	h := echo.WrapHandler(s.pages)
	for _, path := range pages.Paths {
		var seated []echo.MiddlewareFunc
		if slices.ContainsFunc(judging[:], func(room string) bool { return strings.HasPrefix(path, room) }) {
			seated = []echo.MiddlewareFunc{middleware.OpenAccount, s.sit}
		}
		router{s.echo}.GET(strings.NewReplacer("{$}", "", "{", ":", "}", "").Replace(path), h, seated...)
	}
}

// judging are the pages on which a list is judged.
var judging = [...]string{"/lists", "/counter", "/adopt", "/embed/lists"}

// sit lets a request begin when there is a place for it.
func (s *Server) sit(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if err := s.Lists.Desk().Sit(c.Request().Context(), 0); err != nil {
			return err
		}
		return next(c)
	}
}

// countsAsPage reports whether a request asks for a page or a picture, which counts as a lookup does. Style sheets, scripts
// and the icon are there for every page and count for nothing.
func countsAsPage(r *http.Request) bool {
	return pages.Owns(r) && !strings.HasPrefix(r.URL.Path, "/assets/") && r.URL.Path != "/favicon.ico"
}
