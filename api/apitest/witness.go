package apitest

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
	"commensal/api"
	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/validate"
	"commensal/internal/pages"

	"github.com/santhosh-tekuri/jsonschema/v6"
)

// Witness asks a handler and holds every answer against the contract.
type Witness struct {
	T       testing.TB
	Handler http.Handler
}

func Ask(t testing.TB, s *api.Server) *Witness { return &Witness{t, s.Handler()} }

// Answer is what came back.
type Answer struct {
	*httptest.ResponseRecorder
	Request *http.Request
}

// Get asks with GET.
func (w *Witness) Get(target string, headers ...string) Answer {
	w.T.Helper()
	return w.Do("GET", target, "", headers...)
}

// Post asks with POST and a JSON body.
func (w *Witness) Post(target, body string, headers ...string) Answer {
	w.T.Helper()
	return w.Do("POST", target, body, append([]string{"Content-Type", "application/json"}, headers...)...)
}

// Do asks, and fails the test when the answer is not as the contract describes it.
// Headers come in pairs; a later one of a name replaces an earlier.
func (w *Witness) Do(method, target, body string, headers ...string) Answer {
	w.T.Helper()
	r := NewRequest(w.T, method, target, body)
	for i := 0; i+1 < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	return w.Send(r)
}

func (w *Witness) Send(r *http.Request) Answer {
	w.T.Helper()
	rec := httptest.NewRecorder()
	w.Handler.ServeHTTP(rec, r)
	a := Answer{rec, r}
	if err := Held(a); err != nil {
		w.T.Fatalf("%s %s: status %d is not as the contract describes it: %v\n%s", r.Method, r.URL, a.Code, err, Clipped(a.Body.String()))
	}
	return a
}

func Clipped(s string) string { return s[:min(len(s), 2000)] }

// NewRequest is a request as the server would hand it over; it fails where a server
// would not have taken it.
func NewRequest(t testing.TB, method, target, body string) *http.Request {
	t.Helper()
	u, err := url.ParseRequestURI(target)
	if err != nil {
		t.Fatalf("%q is not a request target: %v", target, err)
	}
	r := httptest.NewRequest(method, "/", strings.NewReader(body))
	r.URL, r.RequestURI, r.RemoteAddr = u, target, "192.0.2.1:4711"
	return r
}

// Contract is the contract, compiled for answers as well.
var Contract = sync.OnceValue(func() *validate.Contract {
	c, err := validate.Compile(commensal.Contract())
	if err != nil {
		panic(err)
	}
	return c
})

// Met collects which operations and statuses the tests have met.
var Met sync.Map

// schemas are compiled response schemas by pointer.
var schemas sync.Map

// Held checks an answer against the contract.
func Held(a Answer) error {
	if pages.Owns(a.Request) && a.Code != http.StatusMethodNotAllowed && a.Code != http.StatusTooManyRequests {
		return nil // a page, of which the contract says nothing
	}
	if err := heldAlways(a); err != nil {
		return err
	}
	op := operationOf(a.Request)
	if op == nil || a.Code == http.StatusMethodNotAllowed {
		return heldProblem(a)
	}
	if a.Request.Method == http.MethodOptions {
		return nil
	}
	status, err := statusOf(op, a.Code)
	if err != nil {
		return err
	}
	Met.Store(op.ID+" "+status, true)
	c := Contract()
	pointer := "/paths/" + respond.PointerToken(op.Path) + "/" + strings.ToLower(op.Method) + "/responses/" + status
	described := validate.AsMap(c.At(pointer))
	if ref, ok := described["$ref"].(string); ok {
		pointer = strings.TrimPrefix(ref, "#")
		described = validate.AsMap(c.At(pointer))
	}
	if err := heldHeaders(c, described, a.Header()); err != nil {
		return err
	}
	return heldBody(c, pointer, described, a)
}

// refusals are the statuses that any operation may answer without listing them. Others, 404 for instance, say
// something of the operation and are listed.
var refusals = []int{http.StatusBadRequest, http.StatusUnauthorized, http.StatusForbidden, http.StatusRequestEntityTooLarge, http.StatusUnsupportedMediaType,
	http.StatusUnprocessableEntity, http.StatusTooManyRequests, http.StatusInternalServerError, http.StatusServiceUnavailable}

// statusOf is the response of the contract that a status falls under.
func statusOf(op *validate.Operation, status int) (string, error) {
	switch {
	case op.Lists(status):
		return strconv.Itoa(status), nil
	case op.Default && slices.Contains(refusals, status):
		return "default", nil
	}
	return "", fmt.Errorf("%s does not list the status", op.ID)
}

// requestID is what a request id looks like.
var requestID = regexp.MustCompile(`^[A-Za-z0-9._~-]{1,128}$`)

// heldAlways checks what every answer must have.
func heldAlways(a Answer) error {
	h := a.Header()
	switch {
	case !requestID.MatchString(h.Get("X-Request-Id")):
		return fmt.Errorf("X-Request-Id is %q", h.Get("X-Request-Id"))
	case h.Get("X-Content-Type-Options") != "nosniff" && a.Code != 204:
		return fmt.Errorf("nosniff is missing")
	case a.Code >= 400 && h.Get("Content-Type") != respond.ProblemMedia:
		return fmt.Errorf("the error is %q, not a problem", h.Get("Content-Type"))
	}
	if err := heldRefusal(a); err != nil {
		return err
	}
	if n := h.Get("Content-Length"); n != "" && a.Request.Method != http.MethodHead && n != strconv.Itoa(a.Body.Len()) {
		return fmt.Errorf("Content-Length is %s for %d bytes", n, a.Body.Len())
	}
	if a.Code >= 400 {
		return heldProblem(a)
	}
	return nil
}

// heldRefusal checks that a refusal says what would help.
func heldRefusal(a Answer) error {
	name := map[int]string{http.StatusUnauthorized: "WWW-Authenticate", http.StatusForbidden: "WWW-Authenticate",
		http.StatusTooManyRequests: "Retry-After", http.StatusServiceUnavailable: "Retry-After"}[a.Code]
	if name != "" && a.Header().Get(name) == "" {
		return fmt.Errorf("%s is missing", name)
	}
	return nil
}

// heldProblem checks a problem: the schema, the status, and that its type has a page.
func heldProblem(a Answer) error {
	if a.Code < 400 {
		return nil
	}
	if err := fitsSchema("/components/schemas/Problem", a.Body.Bytes()); err != nil {
		return err
	}
	var p gen.Problem
	if err := json.Unmarshal(a.Body.Bytes(), &p); err != nil {
		return err
	}
	if _, ok := respond.TypeOf(respond.Slug(strings.TrimPrefix(p.Type, "/problems/"))); !ok {
		return fmt.Errorf("the problem type %q has no page", p.Type)
	}
	if p.Status != a.Code || p.Instance == nil || *p.Instance != a.Header().Get("X-Request-Id") {
		return fmt.Errorf("the problem's status or instance is not the answer's")
	}
	return nil
}

func heldHeaders(c *validate.Contract, described map[string]any, h http.Header) error {
	for name, d := range validate.AsMap(described["headers"]) {
		header := c.Follow(d)
		value := h.Get(name)
		if value == "" {
			if required, _ := header["required"].(bool); required {
				return fmt.Errorf("the header %s is missing", name)
			}
			continue
		}
		if pattern, ok := validate.AsMap(header["schema"])["pattern"].(string); ok && !regexp.MustCompile(pattern).MatchString(value) {
			return fmt.Errorf("the header %s is %q", name, value)
		}
	}
	return nil
}

func heldBody(c *validate.Contract, pointer string, described map[string]any, a Answer) error {
	content := validate.AsMap(described["content"])
	if len(content) == 0 || a.Request.Method == http.MethodHead {
		if len(content) == 0 && a.Body.Len() > 0 {
			return fmt.Errorf("there is a body of %d bytes where none belongs", a.Body.Len())
		}
		return nil
	}
	media, _, _ := strings.Cut(a.Header().Get("Content-Type"), ";")
	if content[media] == nil {
		return fmt.Errorf("the media type %q is not documented", media)
	}
	if media == "application/x-ndjson" {
		schema := pointer + "/content/" + respond.PointerToken(media) + "/schema"
		if validate.AsMap(c.At(schema))["type"] == "string" { // of an export, whose lines are records
			schema = "/components/schemas/CheckRecord"
		}
		return heldLines(a.Body.String(), schema)
	}
	if !strings.HasSuffix(media, "json") {
		return nil
	}
	return fitsSchema(pointer+"/content/"+respond.PointerToken(media)+"/schema", a.Body.Bytes())
}

// heldLines holds every line of an answer against a schema.
func heldLines(text, schema string) error {
	for line := range strings.Lines(text) {
		if !strings.HasSuffix(line, "}\n") {
			return fmt.Errorf("the line %s is not whole", Clipped(line))
		}
		if err := fitsSchema(schema, []byte(line)); err != nil {
			return err
		}
	}
	return nil
}

// fitsSchema holds JSON against a schema of the contract.
func fitsSchema(pointer string, text []byte) error {
	compiled, ok := schemas.Load(pointer)
	if !ok {
		schema, err := Contract().Schema(pointer)
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
func operationOf(r *http.Request) *validate.Operation {
	method := r.Method
	if method == http.MethodHead {
		method = http.MethodGet
	}
	parts := strings.Split(r.URL.EscapedPath(), "/")
	var best *validate.Operation
	for _, op := range Contract().Operations {
		if op.Method == method && fits(strings.Split(op.Path, "/"), parts) && (best == nil || strings.Count(op.Path, "{") < strings.Count(best.Path, "{")) {
			best = op
		}
	}
	return best
}

func fits(template, parts []string) bool {
	return slices.EqualFunc(template, parts, func(t, p string) bool { return t == p || strings.HasPrefix(t, "{") && p != "" })
}
