package localcli

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"

	"commensal/api/gen"
)

// Question puts one request to a handler of the API in memory. It returns the body of the answer,
// and the problem when the answer is one that the person can mend; a failure of the service is an error.
func Question(handler http.Handler, method, target string, body []byte) (answer []byte, problem *gen.Problem, err error) {
	request, err := http.NewRequest(method, target, bytes.NewReader(body))
	if err != nil {
		return nil, nil, fmt.Errorf("the question cannot be asked: %w", err)
	}
	request.RequestURI = target // as a server has it
	if body != nil {
		request.Header.Set("Content-Type", "application/json")
	}
	r := &recorder{status: http.StatusOK, header: http.Header{}}
	handler.ServeHTTP(r, request)
	if r.status == http.StatusOK {
		return r.body.Bytes(), nil, nil
	}
	problem = &gen.Problem{}
	if err := Decode(r.body.Bytes(), problem); err != nil {
		return nil, nil, err
	}
	if problem.Status >= http.StatusInternalServerError {
		return nil, nil, fmt.Errorf("%s: %s", problem.Title, problem.Detail)
	}
	return r.body.Bytes(), problem, nil
}

// Decode reads an answer in JSON.
func Decode(body []byte, into any) error {
	if err := json.Unmarshal(body, into); err != nil {
		return fmt.Errorf("the answer cannot be read: %w", err)
	}
	return nil
}

// recorder holds an answer in memory.
type recorder struct {
	status int
	header http.Header
	body   bytes.Buffer
}

// Header is the header of the answer.
func (r *recorder) Header() http.Header { return r.header }

// WriteHeader notes the status.
func (r *recorder) WriteHeader(status int) { r.status = status }

// Write takes a part of the body.
func (r *recorder) Write(b []byte) (int, error) { return r.body.Write(b) }

// InBrief is the body of a question that is to be answered in brief.
func InBrief(body []byte) ([]byte, error) {
	var fields map[string]json.RawMessage
	if err := json.Unmarshal(body, &fields); err != nil {
		return nil, fmt.Errorf("the list cannot be read: %w", err)
	}
	fields["detail"] = json.RawMessage(`"brief"`)
	return json.Marshal(fields)
}
