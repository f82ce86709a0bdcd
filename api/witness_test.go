package api

import (
	"bytes"
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"commensal"
	"commensal/api/gen"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// witness asks a handler and holds every answer against the contract.
type witness struct {
	t       testing.TB
	handler http.Handler
}

func ask(t testing.TB, s *Server) *witness { return &witness{t, s.Handler()} }

// answer is what came back.
type answer struct {
	*httptest.ResponseRecorder
	request *http.Request
}

// get asks with GET.
func (w *witness) get(target string, headers ...string) answer {
	w.t.Helper()
	return w.do("GET", target, "", headers...)
}

// post asks with POST and a JSON body.
func (w *witness) post(target, body string, headers ...string) answer {
	w.t.Helper()
	return w.do("POST", target, body, append([]string{"Content-Type", "application/json"}, headers...)...)
}

// do asks, and fails the test when the answer is not as the contract describes it.
// Headers come in pairs; a later one of a name replaces an earlier.
func (w *witness) do(method, target, body string, headers ...string) answer {
	w.t.Helper()
	r := newRequest(w.t, method, target, body)
	for i := 0; i+1 < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	return w.send(r)
}

func (w *witness) send(r *http.Request) answer {
	w.t.Helper()
	rec := httptest.NewRecorder()
	w.handler.ServeHTTP(rec, r)
	a := answer{rec, r}
	if err := held(a); err != nil {
		w.t.Fatalf("%s %s: status %d is not as the contract describes it: %v\n%s", r.Method, r.URL, a.Code, err, clipped(a.Body.String()))
	}
	return a
}

func clipped(s string) string { return s[:min(len(s), 2000)] }

// newRequest is a request as the server would hand it over; it fails where a server
// would not have taken it.
func newRequest(t testing.TB, method, target, body string) *http.Request {
	t.Helper()
	u, err := url.ParseRequestURI(target)
	if err != nil {
		t.Fatalf("%q is not a request target: %v", target, err)
	}
	r := httptest.NewRequest(method, "/", strings.NewReader(body))
	r.URL, r.RequestURI, r.RemoteAddr = u, target, "192.0.2.1:4711"
	return r
}

// testContract is the contract, compiled for answers as well.
var testContract = sync.OnceValue(func() *contract {
	c, err := compileContract(commensal.Contract())
	if err != nil {
		panic(err)
	}
	return c
})

// seen collects which operations and statuses the tests have met.
var seen sync.Map

// schemas keeps compiled response schemas by pointer.
var schemas sync.Map

// held checks an answer against the contract.
func held(a answer) error {
	if err := heldAlways(a); err != nil {
		return err
	}
	op := operationOf(a.request)
	if op == nil || a.Code == http.StatusMethodNotAllowed {
		return heldProblem(a)
	}
	if a.request.Method == http.MethodOptions {
		return nil
	}
	seen.Store(op.id+" "+strconv.Itoa(a.Code), true)
	if !op.documents(a.Code) {
		return fmt.Errorf("%s does not document the status", op.id)
	}
	c := testContract()
	pointer := "/paths/" + pointerToken(op.path) + "/" + strings.ToLower(op.method) + "/responses/" + strconv.Itoa(a.Code)
	described := asMap(c.at(pointer))
	if ref, ok := described["$ref"].(string); ok {
		pointer = strings.TrimPrefix(ref, "#")
		described = asMap(c.at(pointer))
	}
	if err := heldHeaders(c, described, a.Header()); err != nil {
		return err
	}
	return heldBody(c, pointer, described, a)
}

// heldAlways checks what every answer must have.
func heldAlways(a answer) error {
	h := a.Header()
	switch {
	case !saneRequestID(h.Get("X-Request-Id")):
		return fmt.Errorf("X-Request-Id is %q", h.Get("X-Request-Id"))
	case h.Get("X-Content-Type-Options") != "nosniff" && a.Code != 204:
		return fmt.Errorf("nosniff is missing")
	case a.Code >= 400 && h.Get("Content-Type") != problemMedia:
		return fmt.Errorf("the error is %q, not a problem", h.Get("Content-Type"))
	}
	if n := h.Get("Content-Length"); n != "" && a.request.Method != http.MethodHead && n != strconv.Itoa(a.Body.Len()) {
		return fmt.Errorf("Content-Length is %s for %d bytes", n, a.Body.Len())
	}
	if a.Code >= 400 {
		return heldProblem(a)
	}
	return nil
}

// heldProblem checks a problem: the schema, the status, and that its type has a page.
func heldProblem(a answer) error {
	if a.Code < 400 {
		return nil
	}
	if err := validate("/components/schemas/Problem", a.Body.Bytes()); err != nil {
		return err
	}
	var p gen.Problem
	if err := json.Unmarshal(a.Body.Bytes(), &p); err != nil {
		return err
	}
	if _, ok := typeOf(slug(strings.TrimPrefix(p.Type, "/problems/"))); !ok {
		return fmt.Errorf("the problem type %q has no page", p.Type)
	}
	if p.Status != a.Code || p.Instance == nil || *p.Instance != a.Header().Get("X-Request-Id") {
		return fmt.Errorf("the problem's status or instance is not the answer's")
	}
	return nil
}

func heldHeaders(c *contract, described map[string]any, h http.Header) error {
	for name, d := range asMap(described["headers"]) {
		header := c.follow(d)
		value := h.Get(name)
		if value == "" {
			if required, _ := header["required"].(bool); required {
				return fmt.Errorf("the header %s is missing", name)
			}
			continue
		}
		if pattern, ok := asMap(header["schema"])["pattern"].(string); ok && !regexp.MustCompile(pattern).MatchString(value) {
			return fmt.Errorf("the header %s is %q", name, value)
		}
	}
	return nil
}

func heldBody(c *contract, pointer string, described map[string]any, a answer) error {
	content := asMap(described["content"])
	if len(content) == 0 || a.request.Method == http.MethodHead {
		if len(content) == 0 && a.Body.Len() > 0 {
			return fmt.Errorf("there is a body of %d bytes where none belongs", a.Body.Len())
		}
		return nil
	}
	media, _, _ := strings.Cut(a.Header().Get("Content-Type"), ";")
	if content[media] == nil {
		return fmt.Errorf("the media type %q is not documented", media)
	}
	if media == linesType {
		return heldLines(a.Body.String())
	}
	if !strings.HasSuffix(media, "json") {
		return nil
	}
	return validate(pointer+"/content/"+pointerToken(media)+"/schema", a.Body.Bytes())
}

// heldLines holds every line of an export against the contract of a record.
func heldLines(text string) error {
	for line := range strings.Lines(text) {
		if !strings.HasSuffix(line, "}\n") {
			return fmt.Errorf("the line %s is not whole", clipped(line))
		}
		if err := validate("/components/schemas/CheckRecord", []byte(line)); err != nil {
			return err
		}
	}
	return nil
}

// validate holds JSON against a schema of the contract.
func validate(pointer string, text []byte) error {
	compiled, ok := schemas.Load(pointer)
	if !ok {
		schema, err := testContract().schema(pointer)
		if err != nil {
			return err
		}
		compiled, _ = schemas.LoadOrStore(pointer, schema)
	}
	value, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
	if err != nil {
		return fmt.Errorf("the body is not JSON: %w", err)
	}
	return compiled.(*jsonschema.Schema).Validate(value)
}

// operationOf finds the operation of a request by its path, literal parts first.
func operationOf(r *http.Request) *operation {
	method := r.Method
	if method == http.MethodHead {
		method = http.MethodGet
	}
	parts := strings.Split(r.URL.EscapedPath(), "/")
	var best *operation
	for _, op := range testContract().operations {
		if op.method == method && fits(strings.Split(op.path, "/"), parts) && (best == nil || strings.Count(op.path, "{") < strings.Count(best.path, "{")) {
			best = op
		}
	}
	return best
}

func fits(template, parts []string) bool {
	return slices.EqualFunc(template, parts, func(t, p string) bool { return t == p || strings.HasPrefix(t, "{") && p != "" })
}
