package service

import (
	"encoding/hex"
	"io"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"sync"
	"testing"

	"commensal/internal/auth"
	"commensal/internal/store"
	"commensal/internal/store/dbtest"

	collector "go.opentelemetry.io/proto/otlp/collector/trace/v1"
	spans "go.opentelemetry.io/proto/otlp/trace/v1"
	"google.golang.org/protobuf/proto"
)

// collecting takes spans as a collector does.
type collecting struct {
	url   string
	mu    sync.Mutex
	taken []*spans.Span
	names []string // of the services they come from
}

func collect(t *testing.T) *collecting {
	t.Helper()
	c := &collecting{}
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		body, err := io.ReadAll(r.Body)
		var sent collector.ExportTraceServiceRequest
		if err == nil {
			err = proto.Unmarshal(body, &sent)
		}
		if err != nil || r.URL.Path != "/v1/traces" {
			t.Errorf("%s: %v", r.URL.Path, err)
		}
		c.mu.Lock()
		defer c.mu.Unlock()
		for _, resource := range sent.ResourceSpans {
			for _, a := range resource.Resource.Attributes {
				if a.Key == "service.name" {
					c.names = append(c.names, a.Value.GetStringValue())
				}
			}
			for _, scope := range resource.ScopeSpans {
				c.taken = append(c.taken, scope.Spans...)
			}
		}
		w.Header().Set("Content-Type", "application/x-protobuf")
	}))
	t.Cleanup(server.Close)
	c.url = server.URL
	return c
}

// of lists the spans of a trace, the first to begin first.
func (c *collecting) of(trace string) []*spans.Span {
	c.mu.Lock()
	defer c.mu.Unlock()
	var found []*spans.Span
	for _, s := range c.taken {
		if hex.EncodeToString(s.TraceId) == trace {
			found = append(found, s)
		}
	}
	slices.SortFunc(found, func(a, b *spans.Span) int { return int(a.StartTimeUnixNano) - int(b.StartTimeUnixNano) })
	return found
}

// ask asks with headers in pairs, and returns the traceparent of the answer.
func (s *served) ask(t *testing.T, path string, headers ...string) (traceparent string) {
	t.Helper()
	r, err := http.NewRequest(http.MethodGet, s.base+path, nil)
	if err != nil {
		t.Fatal(err)
	}
	for i := 0; i < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	response, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer response.Body.Close()
	if body, err := io.ReadAll(response.Body); err != nil || response.StatusCode != http.StatusOK {
		t.Fatalf("%s: %d %v %s", path, response.StatusCode, err, body)
	}
	return response.Header.Get("Traceparent")
}

const (
	traceA, traceB = "0af7651916cd43dd8448eb211c80319c", "1bf7651916cd43dd8448eb211c80319c"
	callersSpan    = "b7ad6b7169203331"
)

func TestATraceGoesOnFromTheCallerIntoTheStatements(t *testing.T) {
	t.Parallel()
	c, dsn := collect(t), dbtest.New(t)
	s := start(t, dsn, func(set *Settings) { set.TracesTo = c.url })
	key := newKey(t, dsn, "Reef corner", auth.TanksRead)
	told := s.ask(t, "/v1/tanks", "Authorization", "Bearer "+key, "traceparent", "00-"+traceA+"-"+callersSpan+"-01")
	silent := s.ask(t, "/v1/tanks", "Authorization", "Bearer "+key, "traceparent", "00-"+traceB+"-"+callersSpan+"-00")
	if err := s.stop(); err != nil { // sends what is left
		t.Fatal(err)
	}
	found := c.of(traceA)
	if len(found) < 2 {
		t.Fatalf("the trace has %d spans", len(found))
	}
	request, id := found[0], hex.EncodeToString(found[0].SpanId)
	if request.Name != "GET /v1/tanks" || hex.EncodeToString(request.ParentSpanId) != callersSpan || request.Kind != spans.Span_SPAN_KIND_SERVER {
		t.Errorf("the span of the request is %v", request)
	}
	if told != "00-"+traceA+"-"+id+"-01" {
		t.Errorf("the answer says %s, the span is %s", told, id)
	}
	above := map[string]bool{id: true}
	statements := 0
	for _, span := range found[1:] {
		if !above[hex.EncodeToString(span.ParentSpanId)] {
			t.Errorf("%s has no span of the request above it", span.Name)
		}
		above[hex.EncodeToString(span.SpanId)] = true
		for _, a := range span.Attributes {
			text := a.Value.GetStringValue()
			if (a.Key == "db.query.text" || a.Key == "db.statement") && strings.Contains(text, "tanks") {
				statements++
			}
			if strings.Contains(text, key) {
				t.Errorf("the span %s tells the key", span.Name)
			}
		}
	}
	if statements == 0 {
		t.Errorf("no span tells of a statement on tanks: %v", found)
	}
	if untraced := c.of(traceB); len(untraced) > 0 || !strings.HasPrefix(silent, "00-"+traceB) || !strings.HasSuffix(silent, "-00") {
		t.Errorf("%d spans of a trace that is not kept; the answer says %s", len(untraced), silent)
	}
	if !slices.Contains(c.names, "commensal") {
		t.Errorf("the spans come from %v", c.names)
	}
}

func TestTheShareIsOfRequestsWithoutACaller(t *testing.T) {
	t.Parallel()
	for share, want := range map[float64]string{0: "-00", 1: "-01"} {
		c := collect(t)
		s := start(t, dbtest.New(t), func(set *Settings) { set.TracesTo, set.TracesShare = c.url, share })
		told := s.ask(t, "/v1/pairings/oscar/neon-tetra")
		if err := s.stop(); err != nil {
			t.Fatal(err)
		}
		if found := c.of(strings.Split(told, "-")[1]); !strings.HasSuffix(told, want) || len(found) != map[string]int{"-00": 0, "-01": 1}[want] {
			t.Errorf("share %v: the answer says %s, %d spans", share, told, len(found))
		}
	}
}

// A collector that is away costs a warning, and no answer.
// Not beside other tests: the process has one place for such failures, the log of the service that came last.
func TestACollectorThatIsAwayIsNotWaitedFor(t *testing.T) {
	s := start(t, dbtest.New(t), func(set *Settings) { set.TracesTo, set.TracesShare = "http://127.0.0.1:1", 1 })
	s.ask(t, "/v1/pairings/oscar/neon-tetra")
	if err := s.stop(); err != nil {
		t.Error(err)
	}
	if !strings.Contains(s.log.String(), "spans are lost") {
		t.Errorf("the log says nothing:\n%s", s.log)
	}
}

// newKey makes a key of a new organization.
func newKey(t *testing.T, dsn, organization string, scopes ...auth.Scope) string {
	t.Helper()
	st, err := store.Open(t.Context(), dsn, store.Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer st.Close()
	o, err := st.CreateOrganization(t.Context(), organization)
	if err != nil {
		t.Fatal(err)
	}
	text, id, hash := auth.NewText()
	if err := st.Write(t.Context(), o.ID, func(tx *store.Tx) error {
		_, err := tx.CreateKey(t.Context(), auth.Key{ID: id, Hash: hash, Scopes: scopes})
		return err
	}); err != nil {
		t.Fatal(err)
	}
	return text
}
