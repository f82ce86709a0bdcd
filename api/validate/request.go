package validate

import (
	"net/http"
	"net/url"
	"strings"
	"unicode"
	"unicode/utf8"

	"commensal/api/gen"
	"commensal/api/respond"

	"github.com/labstack/echo/v4"
)

// Check checks a request against the contract before anything else reads it.
// All that is wrong with path, query and headers is told at once; then the body.
func (o *Operation) Check(next echo.HandlerFunc) echo.HandlerFunc {
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
			before, err := o.checkBody(c)
			switch {
			case err != nil:
				return err
			case before != nil:
				return respond.To(c).Send(before, nil)
			}
		}
		return next(c)
	}
}

// checkPath checks the path parameters: text that can be a name at all. An empty one
// makes another path, which does not exist.
func (o *Operation) checkPath(c echo.Context) error {
	found := respond.Faults{Malformed: respond.MalformedParameter}
	escaped := c.Request().URL.RawPath != ""
	for i := range o.Parameters {
		p := &o.Parameters[i]
		if p.In != "path" {
			continue
		}
		value := c.Param(p.Name)
		if strings.Contains(value, "/") { // the router lets the last one take all that is left
			return respond.PathNotFound()
		}
		if escaped {
			plain, err := url.PathUnescape(value)
			if err != nil { // net/url has checked it already
				return respond.PathNotFound()
			}
			value = plain
		}
		if value == "" {
			return respond.PathNotFound()
		}
		if what := NotText(value); what != "" {
			found.Unreadable = append(found.Unreadable, respond.AtField(gen.Path, "/path/"+p.Name, what, "write plain UTF-8 text, percent-encoded"))
		} else if !p.fits(value) {
			found.Unreadable = append(found.Unreadable, respond.AtField(gen.Path, "/path/"+p.Name, "It is too long to be a name.", "write at most 200 characters"))
		}
	}
	return found.Err()
}

// checkHeaders checks the header parameters that are present.
func (o *Operation) checkHeaders(h http.Header) error {
	found := respond.Faults{Malformed: respond.MalformedParameter}
	for i := range o.Parameters {
		p := &o.Parameters[i]
		if p.In != "header" {
			continue
		}
		values := h.Values(p.Name)
		if len(values) == 0 {
			continue
		}
		pointer := "/header/" + p.Name
		switch {
		case len(values) > 1:
			found.Unreadable = append(found.Unreadable, respond.AtField(gen.Header, pointer, "The header is given more than once.", "send it once"))
		case len(p.words) > 0 && !p.fits(values[0]):
			found.Unreadable = append(found.Unreadable, respond.AtField(gen.Header, pointer, "The header is not one of the words that are known.", oneOf(p.words)))
		case NotText(values[0]) != "" || !p.fits(values[0]):
			found.Unreadable = append(found.Unreadable, respond.AtField(gen.Header, pointer, "The header is empty, too long or not plain text.", "send 1 to 255 characters"))
		}
	}
	return found.Err()
}

// NotText says why a value is not one line of text, or "".
func NotText(s string) string {
	switch {
	case !utf8.ValidString(s):
		return "It is not valid UTF-8."
	case strings.ContainsFunc(s, unicode.IsControl):
		return "It has a control character in it."
	}
	return ""
}
