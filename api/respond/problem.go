package respond

import (
	"encoding/json"
	"net/http"
	"strconv"

	"commensal/api/gen"
)

// ProblemMedia is the media type of problems (RFC 9457).
const ProblemMedia = "application/problem+json"

// Write sends a problem. request is the id of the request that it answers.
func (f *Fault) Write(w http.ResponseWriter, request string) {
	body, status := problemBody(f, request)
	h := w.Header()
	for name, value := range f.Header {
		h.Set(name, value)
	}
	h.Set("Content-Type", ProblemMedia)
	h.Set("Cache-Control", NoStore)
	h.Set("X-Content-Type-Options", "nosniff")
	h.Set("Content-Length", strconv.Itoa(len(body)))
	w.WriteHeader(status)
	_, _ = w.Write(body) // fails only when the client is gone
}

// Problem is the fault as a problem, for an answer that tells of several requests. request is its id.
func (f *Fault) Problem(request string) gen.Problem { return problemOf(f, request) }

// problemBody encodes a fault. It cannot fail: a problem is made of strings and
// numbers, and should that change, the bland problem is sent in its place.
func problemBody(f *Fault, request string) (body []byte, status int) {
	p := problemOf(f, request)
	body, err := json.Marshal(p)
	if err != nil {
		p = problemOf(&Fault{Slug: internalFault, Detail: "The service failed to answer."}, request)
		body, _ = json.Marshal(p)
	}
	return append(body, '\n'), p.Status
}

func problemOf(f *Fault, request string) gen.Problem {
	t, ok := TypeOf(f.Slug)
	if !ok {
		t = ProblemType{Slug: internalFault, Status: http.StatusInternalServerError}
	}
	p := gen.Problem{
		Type: "/problems/" + string(t.Slug), Title: t.Title, Status: t.Status,
		Detail: f.Detail, Instance: &request,
	}
	if f.Status != 0 {
		p.Status = f.Status
	}
	if f.Existing != "" {
		p.Existing = &f.Existing
	}
	if len(f.Entries) > 0 {
		p.Errors = &f.Entries
	}
	return p
}
