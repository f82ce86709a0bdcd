package api

import (
	"encoding/json"
	"io"
	"net/http"
	"strconv"
)

// The headers and media types of answers.
const (
	jsonType  = "application/json"
	htmlType  = "text/html; charset=utf-8"
	yamlType  = "application/yaml"
	cacheable = "public, max-age=300"
	transient = "no-store"
	// mine lets a client keep what is its own, and ask each time whether it still holds.
	mine = "private, no-cache"
)

// reply is an answer that is not a problem. Its body is made, and encoded, before any
// header is sent, so that a failure can still become an honest 500. A reply that is
// kept and sent again is not changed.
type reply struct {
	status   int
	media    string
	etag     string // "" for an answer that has none and is not to be kept
	location string // Content-Location, "" for none
	link     string // Link, "" for none
	policy   string // Content-Security-Policy, "" for none
	caching  string // Cache-Control; "" for what etag implies
	made     string // Location of what was made, "" for none
	replayed bool   // this is the answer to the same request before
	repeat   []byte // the body that a repeat is answered with, where it is another one
	body     []byte
	make     func() (any, error)   // makes the value of a JSON body, where body is nil
	stream   func(io.Writer) error // writes the body piece by piece, where it is too much for memory
	lines    []headerLine          // the headers, where prepare made them
	private  bool                  // it tells of what an organization stores, and is not kept for others
}

// headerLine is one header, ready for a header map.
type headerLine struct {
	name   string
	values []string
}

// prepare makes the headers of a reply that is sent many times.
func (r *reply) prepare() *reply {
	r.lines = append(r.headers(), lengthLine(r.body))
	return r
}

func lengthLine(body []byte) headerLine {
	return headerLine{"Content-Length", []string{strconv.Itoa(len(body))}}
}

// jsonReply answers 200 with a value.
func jsonReply(value any) (*reply, error) {
	body, err := encodeJSON(value)
	if err != nil {
		return nil, err
	}
	return &reply{status: http.StatusOK, media: jsonType, body: body}, nil
}

func encodeJSON(value any) ([]byte, error) {
	body, err := json.Marshal(value)
	if err != nil {
		return nil, err
	}
	return append(body, '\n'), nil
}

// write sends the reply.
func (r *reply) write(w http.ResponseWriter) error {
	if r.stream != nil {
		return r.writeStream(w)
	}
	body := r.body
	if body == nil && r.make != nil {
		value, err := r.make()
		if err != nil {
			return err
		}
		if body, err = encodeJSON(value); err != nil {
			return err
		}
	}
	lines := r.lines
	if lines == nil {
		if lines = r.headers(); r.status != http.StatusNotModified && r.status != http.StatusNoContent {
			lines = append(lines, lengthLine(body))
		}
	}
	h := w.Header()
	for _, line := range lines {
		h[line.name] = line.values
	}
	w.WriteHeader(r.status)
	if len(body) == 0 {
		return nil
	}
	_, _ = w.Write(body) // fails only when the client is gone: nobody is left to be told
	return nil
}

// headers lists the headers that the reply has; the names are in canonical form.
func (r *reply) headers() []headerLine {
	caching := r.caching
	switch {
	case caching != "":
	case r.etag != "":
		caching = cacheable
	default:
		caching = transient
	}
	replayed := ""
	if r.replayed {
		replayed = "true"
	}
	lines := make([]headerLine, 0, 8)
	for _, x := range [...][2]string{
		{"Content-Type", r.media}, {"Etag", r.etag}, {"Content-Location", r.location}, {"Link", r.link},
		{"Content-Security-Policy", r.policy}, {"X-Content-Type-Options", "nosniff"}, {"Cache-Control", caching}, {"Location", r.made}, {"Idempotent-Replayed", replayed},
	} {
		if x[1] != "" {
			lines = append(lines, headerLine{x[0], []string{x[1]}})
		}
	}
	return lines
}

// notModified is the reply without its body.
func (r *reply) notModified() *reply {
	return &reply{status: http.StatusNotModified, etag: r.etag, caching: r.caching, location: r.location, link: r.link}
}
