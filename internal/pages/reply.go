package pages

import (
	"crypto/sha256"
	"encoding/base64"
	"net/http"
	"strconv"
	"strings"

	"commensal/internal/pages/pictures"
)

// reply is an answer, encoded, with its headers.
type reply struct {
	status int
	media  string
	body   []byte
	header http.Header // made once; values are shared between writes
	etag   string
	keep   bool // worth keeping
}

const (
	htmlType     = "text/html; charset=utf-8"
	svgType      = "image/svg+xml"
	pngType      = "image/png"
	jsonType     = "application/json"
	plainType    = "text/plain; charset=utf-8"
	markdownType = "text/markdown"
)

// How long answers may be used without asking again: pages for minutes, pictures for a
// day; their ETag is cheap to ask for. Assets have their hash in their name.
const (
	pageAge    = "public, max-age=300"
	pictureAge = "public, max-age=86400, stale-while-revalidate=604800"
	assetAge   = "public, max-age=31536000, immutable"
	noAge      = "no-cache"
)

// made makes an answer with a strong ETag.
func made(media string, body []byte, policy, age string) *reply {
	sum := sha256.Sum256(body)
	r := &reply{status: http.StatusOK, media: media, body: body, etag: `"` + base64.RawURLEncoding.EncodeToString(sum[:15]) + `"`, keep: true}
	r.header = http.Header{
		"Content-Type":            {media},
		"Content-Length":          {strconv.Itoa(len(body))},
		"Cache-Control":           {age},
		"Etag":                    {r.etag},
		"Content-Security-Policy": {policy},
		"X-Content-Type-Options":  {"nosniff"},
		"Referrer-Policy":         {"strict-origin-when-cross-origin"},
		"Vary":                    {"Accept"},
	}
	return r
}

// redirect leads to another page of ours. The path is made of ids, numbers and words, so
// it never leaves the site.
func redirect(path string) *reply {
	return &reply{status: http.StatusSeeOther, header: http.Header{
		"Location": {path}, "Cache-Control": {pageAge}, "Content-Length": {"0"}}, keep: true}
}

// with gives the answer another status and lets nobody keep it.
func (r *reply) with(status int) *reply {
	r.status, r.keep = status, false
	r.header["Cache-Control"] = []string{noAge}
	return r
}

// weight is what the answer costs in memory, in bytes.
func (r *reply) weight() int { return len(r.body) + 1024 }

func (r *reply) write(w http.ResponseWriter, in *http.Request) {
	h := w.Header()
	for name, value := range r.header {
		h[name] = value
	}
	if r.status == http.StatusOK && r.etag != "" && matches(in.Header.Get("If-None-Match"), r.etag) {
		delete(h, "Content-Length")
		delete(h, "Content-Type")
		w.WriteHeader(http.StatusNotModified)
		return
	}
	w.WriteHeader(r.status)
	if in.Method != http.MethodHead {
		_, _ = w.Write(r.body) // a client that went away needs no answer
	}
}

// matches reports whether an If-None-Match names the tag, weakly compared as it must be.
func matches(header, etag string) bool {
	if header == "" {
		return false
	}
	for tag := range strings.SplitSeq(header, ",") {
		if tag = strings.TrimPrefix(strings.TrimSpace(tag), "W/"); tag == etag || tag == "*" {
			return true
		}
	}
	return false
}

// The content security policies. Everything a page uses comes from its own origin, and
// nothing stands inline. Only embeds may be put into a frame.
var (
	pagePolicy = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; connect-src 'self'; " +
		"form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
	embedPolicy = "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self'; " +
		"form-action 'none'; base-uri 'none'; frame-ancestors *"
	picturePolicy = "default-src 'none'; style-src " + pictures.StyleHash + "; frame-ancestors 'none'"
	dataPolicy    = "default-src 'none'; frame-ancestors 'none'"
)
