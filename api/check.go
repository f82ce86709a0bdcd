package api

import (
	"net/http"
	"net/url"
	"strings"
	"unicode"
	"unicode/utf8"

	"commensal/api/gen"

	"github.com/labstack/echo/v4"
)

// checkRequest checks a request against the contract before anything else reads it.
// All that is wrong with path, query and headers is told at once; then the body.
func (o *operation) checkRequest(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		r := c.Request()
		if err := o.checkPath(c); err != nil {
			return err
		}
		if err := o.checkQuery(r.URL.RawQuery); err != nil {
			return err
		}
		if err := o.checkHeaders(r.Header); err != nil {
			return err
		}
		if o.body != nil {
			kept, err := o.checkBody(c)
			switch {
			case err != nil:
				return err
			case kept != nil:
				return kept.write(c.Response())
			}
		}
		return next(c)
	}
}

// checkPath checks the path parameters: text that can be a name at all. An empty one
// makes another path, which does not exist.
func (o *operation) checkPath(c echo.Context) error {
	found := faults{malformed: malformedParameter}
	escaped := c.Request().URL.RawPath != ""
	for i := range o.parameters {
		p := &o.parameters[i]
		if p.in != "path" {
			continue
		}
		value := c.Param(p.name)
		if strings.Contains(value, "/") { // the router lets the last one take all that is left
			return pathNotFound()
		}
		if escaped {
			plain, err := url.PathUnescape(value)
			if err != nil { // net/url has checked it already
				return pathNotFound()
			}
			value = plain
		}
		if value == "" {
			return pathNotFound()
		}
		if what := notText(value); what != "" {
			found.unreadable = append(found.unreadable, atField(gen.Path, "/path/"+p.name, what, "write plain UTF-8 text, percent-encoded"))
		} else if !p.fits(value) {
			found.unreadable = append(found.unreadable, atField(gen.Path, "/path/"+p.name, "It is too long to be a name.", "write at most 200 characters"))
		}
	}
	return found.err()
}

// checkHeaders checks the header parameters that are present.
func (o *operation) checkHeaders(h http.Header) error {
	found := faults{malformed: malformedParameter}
	for i := range o.parameters {
		p := &o.parameters[i]
		if p.in != "header" {
			continue
		}
		values := h.Values(p.name)
		if len(values) == 0 {
			continue
		}
		pointer := "/header/" + p.name
		switch {
		case len(values) > 1:
			found.unreadable = append(found.unreadable, atField(gen.Header, pointer, "The header is given more than once.", "send it once"))
		case notText(values[0]) != "" || !p.fits(values[0]):
			found.unreadable = append(found.unreadable, atField(gen.Header, pointer, "The header is empty, too long or not plain text.", "send 1 to 255 characters"))
		}
	}
	return found.err()
}

// notText says why a value is not one line of text, or "".
func notText(s string) string {
	switch {
	case !utf8.ValidString(s):
		return "It is not valid UTF-8."
	case strings.ContainsFunc(s, unicode.IsControl):
		return "It has a control character in it."
	}
	return ""
}
