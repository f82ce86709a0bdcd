package api

import (
	"encoding/json"
	"net/http"
	"strconv"

	"commensal/api/gen"

	"github.com/labstack/echo/v4"
)

// problemMedia is the media type of problems (RFC 9457).
const problemMedia = "application/problem+json"

// writeError is the one writer of problems. What the client is not told is logged
// here, once.
func (s *Server) writeError(err error, c echo.Context) {
	f, told := faultOf(err, c)
	id := identityOf(c)
	if !told {
		s.cfg.Logger.LogAttrs(c.Request().Context(), errorLevel, "request failed", failure(err, c, id)...)
	}
	if c.Response().Committed {
		return
	}
	body, status := problemBody(f, id.request)
	h := c.Response().Header()
	for name, value := range f.header {
		h.Set(name, value)
	}
	h.Set("Content-Type", problemMedia)
	h.Set("Cache-Control", transient)
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Content-Length", strconv.Itoa(len(body)))
	c.Response().WriteHeader(status)
	_, _ = c.Response().Write(body) // fails only when the client is gone
}

// problemBody encodes a fault. It cannot fail: a problem is made of strings and
// numbers, and should that change, the bland problem is sent in its place.
func problemBody(f *fault, request string) (body []byte, status int) {
	p := problemOf(f, request)
	body, err := json.Marshal(p)
	if err != nil {
		p = problemOf(&fault{slug: internalFault, detail: "The service failed to answer."}, request)
		body, _ = json.Marshal(p)
	}
	return append(body, '\n'), p.Status
}

func problemOf(f *fault, request string) gen.Problem {
	t, ok := typeOf(f.slug)
	if !ok {
		t = problemType{Slug: internalFault, Status: http.StatusInternalServerError}
	}
	p := gen.Problem{
		Type: "/problems/" + string(t.Slug), Title: t.Title, Status: t.Status,
		Detail: f.detail, Instance: &request,
	}
	if f.status != 0 {
		p.Status = f.status
	}
	if len(f.fields) > 0 {
		p.Errors = &f.fields
	}
	return p
}
