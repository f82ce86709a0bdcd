package localcli

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net/http"

	"commensal/api/gen"
)

// Question puts one request to a handler of the API in memory. It returns the body of the answer,
// and the problem when the answer is one that the person can mend; a failure of the service is an error.
func Question(handler http.Handler, method, target string, body []byte) (answer []byte, problem *gen.Problem, err error) {
	r := &recorder{status: http.StatusOK, header: http.Header{}}
	if problem, err = r.ask(handler, method, target, "application/json", body); err != nil {
		return nil, nil, err
	}
	return r.body.Bytes(), problem, nil
}

// Ask posts a body of a media type to a handler of the API in memory. The answer goes to a writer while it is made; the problem
// and the error are those of [Question].
func Ask(handler http.Handler, target, media string, body []byte, to io.Writer) (problem *gen.Problem, err error) {
	r := &recorder{status: http.StatusOK, header: http.Header{}, to: to}
	if problem, err = r.ask(handler, http.MethodPost, target, media, body); err == nil {
		err = r.failed
	}
	return problem, err
}

// ask lets the handler answer.
func (r *recorder) ask(handler http.Handler, method, target, media string, body []byte) (problem *gen.Problem, err error) {
	request, err := http.NewRequest(method, target, bytes.NewReader(body))
	if err != nil {
		return nil, fmt.Errorf("the question cannot be asked: %w", err)
	}
	request.RequestURI = target // as a server has it
	if body != nil {
		request.Header.Set("Content-Type", media)
	}
	handler.ServeHTTP(r, request)
	if r.status == http.StatusOK {
		return nil, nil
	}
	problem = &gen.Problem{}
	if err := Decode(r.body.Bytes(), problem); err != nil {
		return nil, err
	}
	if problem.Status >= http.StatusInternalServerError {
		return nil, fmt.Errorf("%s: %s", problem.Title, problem.Detail)
	}
	return problem, nil
}

// Decode reads an answer in JSON.
func Decode(body []byte, into any) error {
	if err := json.Unmarshal(body, into); err != nil {
		return fmt.Errorf("the answer cannot be read: %w", err)
	}
	return nil
}

// recorder holds an answer in memory, or passes a good one on.
type recorder struct {
	status int
	header http.Header
	body   bytes.Buffer
	to     io.Writer // nil holds the answer
	failed error     // of to
}

// Header is the header of the answer.
func (r *recorder) Header() http.Header { return r.header }

// WriteHeader notes the status.
func (r *recorder) WriteHeader(status int) { r.status = status }

// Write takes a part of the body.
func (r *recorder) Write(b []byte) (n int, err error) {
	if r.to == nil || r.status != http.StatusOK {
		return r.body.Write(b)
	}
	if n, err = r.to.Write(b); err != nil {
		r.failed = err
	}
	return n, err
}

// Flush does nothing: what was written has been passed on.
func (r *recorder) Flush() {}

// WantsBrief reports whether a question says itself that it is to be answered in brief.
func WantsBrief(body []byte) bool {
	var q struct{ Detail string }
	return json.Unmarshal(body, &q) == nil && q.Detail == "brief"
}

// InBrief is the body of a question that is to be answered in brief.
func InBrief(body []byte) ([]byte, error) {
	var fields map[string]json.RawMessage
	if err := json.Unmarshal(body, &fields); err != nil {
		return nil, fmt.Errorf("the list cannot be read: %w", err)
	}
	fields["detail"] = json.RawMessage(`"brief"`)
	return json.Marshal(fields)
}
