// Package respond is what every room answers with: replies and the problems of RFC 9457, entity tags and
// preconditions, pages of lists with their cursors, and the cache of encoded answers.
package respond

import (
	"io"
	"net/http"
	"strconv"

	"commensal/internal/connections"
)

// The headers and media types of answers.
const (
	JSONType  = "application/json"
	HTMLType  = "text/html; charset=utf-8"
	YAMLType  = "application/yaml"
	cacheable = "public, max-age=300"
	NoStore   = "no-store"
	// Revalidate lets a client cache what is its own, and ask each time whether it still holds.
	Revalidate = "private, no-cache"
)

// Reply is an answer that is not a problem. Its body is made, and encoded, before any
// header is sent, so that a failure can still become an honest 500. A reply that is
// cached and sent again is not changed.
type Reply struct {
	Status          int
	Media           string
	ETag            string // "" for an answer that has none and is not to be cached
	ContentLocation string // Content-Location, "" for none
	Link            string // Link, "" for none
	Policy          string // Content-Security-Policy, "" for none
	Caching         string // Cache-Control; "" for what etag implies
	Location        string // Location of what was made, "" for none
	Vary            string // Vary, "" for none
	Replayed        bool   // this is the answer to the same request before
	Repeat          []byte // the body that a repeat is answered with, where it is another one
	Body            []byte
	Make            func() (any, error)   // makes the value of a JSON body, where body is nil
	Stream          func(io.Writer) error // writes the body piece by piece, where it is too much for memory
	lines           []headerLine          // the headers, where prepare made them
	unchanged       *Reply                // the 304 in its place, where prepare made it
	Private         bool                  // it tells of what an organization stores, and is not cached for others
}

// headerLine is one header, ready for a header map.
type headerLine struct {
	name   string
	values []string
}

// Prepare makes the headers of a reply that is sent many times, and of the 304 that stands for it.
func (r *Reply) Prepare() *Reply {
	r.lines = append(r.headers(), lengthLine(r.Body))
	if r.ETag != "" {
		r.unchanged = r.notModified()
		r.unchanged.lines = r.unchanged.headers()
	}
	return r
}

func lengthLine(body []byte) headerLine {
	return headerLine{"Content-Length", []string{strconv.Itoa(len(body))}}
}

// JSON answers 200 with a value.
func JSON(value any) (*Reply, error) {
	body, err := EncodeJSON(value)
	if err != nil {
		return nil, err
	}
	return &Reply{Status: http.StatusOK, Media: JSONType, Body: body}, nil
}

// Text answers 200 with a text for people.
func Text(text string) *Reply {
	return &Reply{Status: http.StatusOK, Media: TextType, Body: []byte(text)}
}

// Write sends the reply.
func (r *Reply) Write(w http.ResponseWriter) error {
	_, err := r.write(w, nil)
	return err
}

// write sends the reply to a request, which may be nil, and returns how many bytes of a body it had that is not streamed.
func (r *Reply) write(w http.ResponseWriter, to *http.Request) (sent int64, err error) {
	if r.Stream != nil {
		return 0, r.writeStream(w)
	}
	body := r.Body
	if body == nil && r.Make != nil {
		value, err := r.Make()
		if err != nil {
			return 0, err
		}
		if body, err = EncodeJSON(value); err != nil {
			return 0, err
		}
	}
	lines := r.lines
	if lines == nil {
		if lines = r.headers(); r.Status != http.StatusNotModified && r.Status != http.StatusNoContent {
			lines = append(lines, lengthLine(body))
		}
	}
	h := w.Header()
	for _, line := range lines {
		h[line.name] = line.values
	}
	if to != nil && to.Method != http.MethodHead && len(body) > 0 {
		connections.Gather(to.Context(), len(body)+leastHead(h))
	}
	w.WriteHeader(r.Status)
	if len(body) == 0 {
		return 0, nil
	}
	n, _ := w.Write(body) // fails only when the client is gone: nobody is left to be told
	return int64(n), nil
}

// leastHead is how many bytes the status line and headers of an answer take at least.
func leastHead(h http.Header) int {
	n := len("HTTP/1.1 200 OK\r\n" + "\r\n")
	for name, values := range h {
		if len(values) > 0 && name != "Connection" {
			n += len(name) + len(": \r\n") + len(values[0])
		}
	}
	return n
}

// headers lists the headers that the reply has; the names are in canonical form.
func (r *Reply) headers() []headerLine {
	caching := r.Caching
	switch {
	case caching != "":
	case r.ETag != "":
		caching = cacheable
	default:
		caching = NoStore
	}
	replayed := ""
	if r.Replayed {
		replayed = "true"
	}
	lines, values := make([]headerLine, 0, 8), make([]string, 0, 8)
	for _, x := range [...][2]string{
		{"Content-Type", r.Media}, {"Etag", r.ETag}, {"Content-Location", r.ContentLocation}, {"Link", r.Link},
		{"Content-Security-Policy", r.Policy}, {"X-Content-Type-Options", "nosniff"}, {"Cache-Control", caching}, {"Location", r.Location}, {"Idempotent-Replayed", replayed}, {"Vary", r.Vary},
	} {
		if x[1] != "" {
			values = append(values, x[1])
			last := len(values) - 1
			lines = append(lines, headerLine{x[0], values[last : last+1 : last+1]}) // where values grew, the lines before keep what they have
		}
	}
	return lines
}

// notModified is the reply without its body.
func (r *Reply) notModified() *Reply {
	return &Reply{Status: http.StatusNotModified, ETag: r.ETag, Caching: r.Caching, ContentLocation: r.ContentLocation, Link: r.Link, Vary: r.Vary}
}
