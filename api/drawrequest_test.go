package api

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"sync"
)

// world is what drawn requests refer to: keys, and ids of things that were made.
type world struct {
	mu   sync.Mutex
	keys map[string]string     // the text of a key, by what it may
	ids  map[string][]string   // by the name of the path parameter
	home map[string]string     // the tank of a line of residents
	puts map[string]*operation // the operation that replaces, by path
}

// remember takes up the id of what was made.
func (w *world) remember(a answer) {
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
func (d *drawer) request(op *operation, w *world) (r *http.Request, body string, sound bool) {
	w.mu.Lock()
	defer w.mu.Unlock()
	sound = d.chance(50)
	target := d.path(op, w, sound) + d.query(op, sound)
	u, err := url.ParseRequestURI(target)
	if err != nil {
		return nil, "", false
	}
	if op.body != nil {
		body = d.body(op, w, sound)
	}
	r = httptest.NewRequest(op.method, "/", strings.NewReader(body))
	r.URL, r.RequestURI, r.RemoteAddr = u, target, "192.0.2.1:4711"
	if op.method == http.MethodGet && d.chance(5) {
		r.Method = http.MethodHead
	}
	d.headers(op, w, r.Header, sound)
	return r, body, sound
}

func (d *drawer) path(op *operation, w *world, sound bool) string {
	parts, resident := strings.Split(op.path, "/"), w.one(d, "resident")
	for i, part := range parts {
		name, ok := strings.CutPrefix(part, "{")
		if !ok {
			continue
		}
		text := w.one(d, strings.TrimSuffix(name, "}"))
		switch {
		case name == "resident}":
			text = resident
		case name == "tank}" && strings.Contains(op.path, "{resident}"):
			text = w.home[resident]
		}
		if !sound && d.chance(30) {
			text = oneOf(d, "01a214c6-b559-725b-890d-d40b6302fac0", "x", "\x00", "\xff", "%", "..", strings.Repeat("a", 300), "a/b", " ", "魚")
		}
		parts[i] = url.PathEscape(text)
	}
	return strings.Join(parts, "/")
}

func (d *drawer) query(op *operation, sound bool) string {
	values := url.Values{}
	for _, p := range op.parameters {
		if p.in == "query" && p.name != "cursor" && d.chance(25) {
			values.Add(p.name, d.parameter(op, p.name))
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
func (d *drawer) parameter(op *operation, name string) string {
	path := asMap(asMap(d.contract.document["paths"])[op.path])
	for _, p := range asList(asMap(path[strings.ToLower(op.method)])["parameters"]) {
		if p := d.contract.follow(p); p["name"] == name {
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
func (d *drawer) described(op *operation) map[string]any {
	return asMap(d.contract.at("/paths/" + pointerToken(op.path) + "/" + strings.ToLower(op.method) + "/requestBody/content/" + pointerToken(op.media)))
}

// content draws the value of a body: from the schema, a patch from that of what replaces the
// thing, or the example.
func (d *drawer) content(op *operation, w *world) any {
	if example := d.described(op)["example"]; example != nil && d.chance(40) {
		return asJSON(example)
	}
	if put := w.puts[op.path]; put != nil && op.method == http.MethodPatch {
		op = put
	}
	return d.value(d.described(op)["schema"], "", 0)
}

func (d *drawer) body(op *operation, w *world, sound bool) string {
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
	return strings.Repeat(" ", maxBody-len(text)+d.IntN(2)) + text
}

func (d *drawer) headers(op *operation, w *world, h http.Header, sound bool) {
	set := func(name string, values ...string) { h.Set(name, oneOf(d, values...)) }
	if op.body != nil {
		set("Content-Type", op.media)
	}
	if len(op.scopes) > 0 || d.chance(20) {
		set("Authorization", "Bearer "+w.keys["all"])
	}
	if op.documents(http.StatusPreconditionRequired) {
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
