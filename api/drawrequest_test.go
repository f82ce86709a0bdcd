package api_test

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"sync"

	"commensal/api/apitest"
	"commensal/api/respond"
	"commensal/api/validate"
)

// world is what drawn requests refer to: keys, and ids of things that were made.
type world struct {
	mu   sync.Mutex
	keys map[string]string              // the text of a key, by what it may
	ids  map[string][]string            // by the name of the path parameter
	home map[string]string              // the tank of a line of residents
	puts map[string]*validate.Operation // the operation that replaces, by path
}

// remember takes up the id of what was made.
func (w *world) remember(a apitest.Answer) {
	parts := strings.Split(strings.Trim(a.Header().Get("Location"), "/"), "/")
	if a.Code != http.StatusCreated || len(parts) < 2 {
		return
	}
	w.mu.Lock()
	defer w.mu.Unlock()
	kind, id := strings.TrimSuffix(parts[len(parts)-2], "s"), parts[len(parts)-1]
	if kind == "resident" {
		w.home[id] = parts[len(parts)-3]
	}
	w.ids[kind] = append(w.ids[kind], id)
}

// one draws an id of a kind, the latest likelier: they are the likeliest to be there still.
func (w *world) one(d *drawer, kind string) string {
	ids := w.ids[kind]
	if len(ids) == 0 {
		return oneOf(d, "oscar", "guppy", "neon-tetra", "betta", "tetra", "oscarr")
	}
	return ids[max(0, len(ids)-1-d.IntN(3))]
}

// request draws a request for an operation. sound says that nothing in it was spoilt on purpose.
func (d *drawer) request(op *validate.Operation, w *world) (r *http.Request, body string, sound bool) {
	w.mu.Lock()
	defer w.mu.Unlock()
	sound = d.chance(50)
	target := d.path(op, w, sound) + d.query(op, sound)
	u, err := url.ParseRequestURI(target)
	if err != nil {
		return nil, "", false
	}
	if op.HasBody() {
		body = d.body(op, w, sound)
	}
	r = httptest.NewRequest(op.Method, "/", strings.NewReader(body))
	r.URL, r.RequestURI, r.RemoteAddr = u, target, "192.0.2.1:4711"
	if op.Method == http.MethodGet && d.chance(5) {
		r.Method = http.MethodHead
	}
	d.headers(op, w, r.Header, sound)
	return r, body, sound
}

func (d *drawer) path(op *validate.Operation, w *world, sound bool) string {
	parts, resident := strings.Split(op.Path, "/"), w.one(d, "resident")
	for i, part := range parts {
		name, ok := strings.CutPrefix(part, "{")
		if !ok {
			continue
		}
		text := w.one(d, strings.TrimSuffix(name, "}"))
		switch {
		case name == "resident}":
			text = resident
		case name == "tank}" && strings.Contains(op.Path, "{resident}"):
			text = w.home[resident]
		}
		if !sound && d.chance(30) {
			text = oneOf(d, "01a214c6-b559-725b-890d-d40b6302fac0", "x", "\x00", "\xff", "%", "..", strings.Repeat("a", 300), "a/b", " ", "魚")
		}
		parts[i] = url.PathEscape(text)
	}
	return strings.Join(parts, "/")
}

func (d *drawer) query(op *validate.Operation, sound bool) string {
	values := url.Values{}
	for _, p := range op.Parameters {
		if p.In == "query" && p.Name != "cursor" && d.chance(25) {
			values.Add(p.Name, d.parameter(op, p.Name))
		}
	}
	if sound {
		return asQuery(values)
	}
	switch d.IntN(12) {
	case 0:
		values.Add("colour", "blue")
	case 1:
		values.Add("cursor", oneOf(d, "", "AQ", "!!", strings.Repeat("A", 600)))
	case 2:
		values.Add("limit", oneOf(d, "0", "-1", "201", "1e2", "", "99999999999999999999", "\x00"))
	case 3:
		for name := range values {
			values.Add(name, values.Get(name))
		}
	case 4:
		return "?" + oneOf(d, "%", "a=%zz", "a;b", "=", "&&&", "%00=%ff", "limit")
	case 5:
		for name := range values {
			values.Set(name, oneOf(d, "", "-1", "NaN", "1e999", "\xff", "120x50", strings.Repeat("9", 400), "25,5"))
		}
	}
	return asQuery(values)
}

func asQuery(values url.Values) string {
	if len(values) == 0 {
		return ""
	}
	return "?" + values.Encode()
}

// parameter draws a value of a query parameter as text.
func (d *drawer) parameter(op *validate.Operation, name string) string {
	path := validate.AsMap(validate.AsMap(d.contract.Document["paths"])[op.Path])
	for _, p := range validate.AsList(validate.AsMap(path[strings.ToLower(op.Method)])["parameters"]) {
		if p := d.contract.Follow(p); p["name"] == name {
			if text, ok := d.value(p["schema"], name, 1).(string); ok {
				return text
			}
			text, _ := json.Marshal(d.value(p["schema"], name, 1))
			return strings.Trim(string(text), `"`)
		}
	}
	return ""
}

// described is what the contract says of a body.
func (d *drawer) described(op *validate.Operation) map[string]any {
	return validate.AsMap(d.contract.At("/paths/" + respond.PointerToken(op.Path) + "/" + strings.ToLower(op.Method) + "/requestBody/content/" + respond.PointerToken(op.Media)))
}

// content draws the value of a body: from the schema, a patch from that of what replaces the
// thing, or the example.
func (d *drawer) content(op *validate.Operation, w *world) any {
	if example := d.described(op)["example"]; example != nil && d.chance(40) {
		return validate.AsJSON(example)
	}
	if put := w.puts[op.Path]; put != nil && op.Method == http.MethodPatch {
		op = put
	}
	return d.value(d.described(op)["schema"], "", 0)
}

func (d *drawer) body(op *validate.Operation, w *world, sound bool) string {
	value := d.content(op, w)
	if !sound && d.chance(70) {
		value = d.slip(value)
	}
	encoded, err := json.Marshal(value)
	if err != nil {
		return ""
	}
	text := string(encoded)
	if sound || d.chance(70) {
		return text
	}
	cut := d.IntN(len(text) + 1)
	switch d.IntN(6) {
	case 0:
		return text[:cut]
	case 1:
		return text[:cut] + oneOf(d, "\x00", "\xff", "{", "\"", ",", "1e9999", "\ufeff") + text[cut:]
	case 2:
		return text + text
	case 3:
		return strings.Repeat("[", 40) + text
	case 4:
		return strings.Replace(text, "{", `{"species":1,"species":2,`, 1)
	}
	return strings.Repeat(" ", validate.MaxBody-len(text)+d.IntN(2)) + text
}

func (d *drawer) headers(op *validate.Operation, w *world, h http.Header, sound bool) {
	set := func(name string, values ...string) { h.Set(name, oneOf(d, values...)) }
	if op.HasBody() {
		set("Content-Type", op.Media)
	}
	if len(op.Scopes) > 0 || d.chance(20) {
		set("Authorization", "Bearer "+w.keys["all"])
	}
	if op.Lists(http.StatusPreconditionRequired) {
		set("If-Match", "*", "*", `"1"`)
	}
	if d.chance(20) {
		set("Idempotency-Key", "a", "b", "c", "d", "e")
	}
	if d.chance(20) {
		set("If-None-Match", "*", `"1"`, `W/"2"`)
	}
	if sound {
		return
	}
	switch d.IntN(10) {
	case 0:
		set("Content-Type", "text/plain", "application/json; charset=latin1", "", "application/merge-patch+json", "multipart/form-data", "/;=")
	case 1:
		set("Authorization", "", "Bearer x", "Bearer", "Basic YTpi", "Bearer "+w.keys["unknown"], "Bearer "+w.keys["there"], "Bearer "+w.keys["nothing"], "\xff")
	case 2:
		set("If-Match", "", "1", `"`, `W/"1"`, `"99"`, strings.Repeat("x", 2000))
	case 3:
		set("Idempotency-Key", "", strings.Repeat("k", 256), "\xff", " ", "a\tb", strings.Repeat("ä", 120))
	case 4:
		set("Traceparent", "00-0-0-0", strings.Repeat("f", 55), "\xff")
		set("X-Request-Id", strings.Repeat("i", 200), "a b", "ok-1")
	case 5:
		set("Content-Encoding", "gzip", "identity", "br")
	}
}
