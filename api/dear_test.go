package api_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"log/slog"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"testing"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/lists"
	"commensal/api/work"
	"commensal/internal/conflict"
	"commensal/internal/torture"
)

// The ceilings of one request, whatever it asks.
const (
	// mostUnits is the budget, and what may be under way when it ends: one list of the greatest
	// length whose fish all grow, judged in full.
	mostUnits = 2 * work.DefaultLimit
	// mostMade is the most memory in bytes that is made and dropped again for one request.
	mostMade = 448 << 20
)

// climbs is how many steps the search takes for each operation: one in CI, many in make torture.
func climbs(t *testing.T) int { return torture.Size(t, "DEAR", 1) }

// price is what a request turned out to cost.
type price struct {
	status int
	units  int64
	made   uint64 // bytes
	out    int    // bytes
}

// dearer compares what a request makes the service do: work first, then memory.
func (p price) dearer(o price) bool {
	return float64(p.units)+float64(p.made)/500 > float64(o.units)+float64(o.made)/500
}

// question is an operation that is asked with what the knobs say. lists is how many lists it asks about:
// each has ceilings of its own.
type question struct {
	name  string
	lists int
	of    func(*asked) *http.Request
}

// posted is a question in a body.
func posted(path, media string, body any) *http.Request {
	text, ok := body.([]byte)
	if !ok {
		var err error
		if text, err = json.Marshal(body); err != nil {
			panic(err) // it is made of what can be encoded
		}
	}
	r := httptest.NewRequest(http.MethodPost, path, bytes.NewReader(text))
	r.Header.Set("Content-Type", media)
	return r
}

func got(path string) *http.Request { return httptest.NewRequest(http.MethodGet, path, nil) }

// shop is a service of the whole catalogue whose log is read.
type shop struct {
	handler http.Handler
	log     *bytes.Buffer
}

func newShop(t *testing.T, change ...func(*api.Config)) (shop, func(*api.Config)) {
	t.Helper()
	book, log := fixture.Fitted(t), &bytes.Buffer{}
	return shop{log: log}, func(c *api.Config) {
		c.Book, c.CacheBytes, c.Logger = func() *conflict.Book { return book }, -1, slog.New(slog.NewJSONHandler(log, nil))
		for _, f := range change {
			f(c)
		}
	}
}

// TestNoRequestIsDearerThanItsCeiling climbs, for every operation that reckons and needs no key, and for the
// pages, from drawn requests to dearer and dearer ones, and holds each that it meets against the ceilings.
func TestNoRequestIsDearerThanItsCeiling(t *testing.T) {
	s, set := newShop(t)
	s.handler = apitest.ServerOf(t, fixture.Fitted(t), set).Handler()
	for _, q := range openQuestions() {
		t.Run(q.name, func(t *testing.T) { climb(t, s, q) })
	}
}

// climb looks for the dearest request of an operation.
func climb(t *testing.T, s shop, q question) {
	t.Helper()
	r, book := rand.New(rand.NewPCG(11, uint64(len(q.name)))), fixture.Fitted(t)
	best := newAsked(r, book)
	at := ask(t, s, q, best)
	for range climbs(t) {
		next := best.changed(r, book)
		p := ask(t, s, q, next)
		if p.status < 300 && (at.status >= 300 || p.dearer(at)) {
			best, at = next, p
		}
	}
	if at.status >= 300 {
		t.Errorf("%s: no request that was drawn is carried out: %d", q.name, at.status)
	}
	t.Logf("%s: %d units, %d MB made, %d KB answered with %d", q.name, at.units, at.made>>20, at.out>>10, at.status)
}

// ask asks in this process, and holds the answer against the ceilings.
func ask(t *testing.T, s shop, q question, a *asked) (p price) {
	t.Helper()
	r := q.of(a)
	s.log.Reset()
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	w := httptest.NewRecorder()
	s.handler.ServeHTTP(w, r)
	if w.Code == http.StatusSeeOther { // to the address that a page has
		s.log.Reset()
		r, w = got(w.Header().Get("Location")), httptest.NewRecorder()
		s.handler.ServeHTTP(w, r)
	}
	runtime.ReadMemStats(&after)
	cost, _ := loggedLine(t, s.log)["cost"].(float64) // none is told of a lookup
	p = price{w.Code, int64(cost), after.TotalAlloc - before.TotalAlloc, w.Body.Len()}
	if p.status >= 500 {
		t.Errorf("%s: %d %.300s", r.URL, p.status, w.Body)
	}
	n := int64(q.lists)
	if p.units > n*mostUnits || p.made > uint64(n)*mostMade || int64(p.out) > n*lists.MaxAnswer {
		t.Errorf("%s: %d units, %d MB made, %d KB answered for %.2000s", r.URL, p.units, p.made>>20, p.out>>10, fmt.Sprint(*a))
	}
	return p
}

// asked is what a request is made of: the knobs that the search turns.
type asked struct {
	lines       []line
	tanks       []string
	filled      int // lines in each tank
	together    int
	age         float64
	mood, level string
	water       float64
}

type line struct {
	species string
	count   int
}

// dearest makes the body of each operation from the knobs.
var dearest = map[string]func(*asked) any{
	"/v1/checks":     func(a *asked) any { return a.list(200, "tank") },
	"/v1/additions":  func(a *asked) any { b := a.list(199, "tank"); b["limit"] = 200; return b },
	"/v1/groupings":  func(a *asked) any { b := a.list(200, ""); b["tanks"] = a.sizes(100); return b },
	"/v1/placements": func(a *asked) any { return a.placements() },
	"/v1/pairings":   func(a *asked) any { return map[string]any{"species": a.names(200)} },
}

func (a *asked) list(most int, tank string) map[string]any {
	out := map[string]any{"residents": a.wire(a.lines[:min(len(a.lines), most)])}
	if a.level != "" {
		out["wanted_level"] = a.level
	}
	if tank != "" && len(a.tanks) > 0 {
		out[tank] = a.tank(a.tanks[0])
	}
	return out
}

func (a *asked) tank(size string) map[string]any {
	out := map[string]any{"size": size}
	if a.water > 0 {
		out["temperature_c"] = a.water
	}
	return out
}

func (a *asked) wire(lines []line) []any {
	out := make([]any, len(lines))
	for i, l := range lines {
		x := map[string]any{"species": l.species, "count": l.count}
		if a.age > 0 {
			x["age_months"] = a.age
		}
		if a.mood != "" {
			x["disposition"] = a.mood
		}
		out[i] = x
	}
	return out
}

func (a *asked) sizes(most int) []any {
	out := []any{}
	for _, size := range a.tanks[:min(len(a.tanks), most)] {
		out = append(out, a.tank(size))
	}
	return out
}

func (a *asked) names(most int) (out []string) {
	for _, l := range a.lines[:min(len(a.lines), most)] {
		if !slices.Contains(out, l.species) {
			out = append(out, l.species)
		}
	}
	return out
}

func (a *asked) placements() any {
	tanks := []any{}
	for i, size := range a.tanks[:min(len(a.tanks), 500)] {
		from := i * 7 % len(a.lines)
		tanks = append(tanks, map[string]any{"tank": a.tank(size), "residents": a.wire(a.lines[from:min(len(a.lines), from+a.filled)])})
	}
	return map[string]any{"incoming": a.wire(a.lines[:min(len(a.lines), 100)]), "tanks": tanks, "by_tank": a.together > 0, "options": 20}
}

// newAsked draws a long list in many tanks.
func newAsked(r *rand.Rand, book *conflict.Book) *asked {
	a := &asked{age: 3, filled: 5, water: 25}
	for range 200 {
		a.lines = append(a.lines, line{drawn(r, book), 1 + r.IntN(12)})
	}
	for i := range 500 {
		a.tanks = append(a.tanks, size(r, i))
	}
	return a
}

func drawn(r *rand.Rand, book *conflict.Book) string {
	return string(book.Snapshot.At(r.IntN(book.Snapshot.Len())).ID)
}

func size(r *rand.Rand, i int) string {
	return strings.Join([]string{strconv.Itoa(40 + i%450), strconv.Itoa(30 + r.IntN(150)), "60cm"}, "x")
}

// changed is the request with one knob or a few turned.
func (a *asked) changed(r *rand.Rand, book *conflict.Book) *asked {
	b := *a
	b.lines, b.tanks = slices.Clone(a.lines), slices.Clone(a.tanks)
	for range 1 + r.IntN(3) {
		b.turn(r, book)
	}
	return &b
}

// turn turns one knob.
func (a *asked) turn(r *rand.Rand, book *conflict.Book) {
	some := 1 + r.IntN(40)
	switch r.IntN(10) {
	case 0: // other kinds
		for range some {
			a.lines[r.IntN(len(a.lines))].species = drawn(r, book)
		}
	case 1: // more of one kind in several lines
		kind := drawn(r, book)
		for range some {
			a.lines[r.IntN(len(a.lines))].species = kind
		}
	case 2:
		for range some {
			a.lines[r.IntN(len(a.lines))].count = 1 + r.IntN(1000)
		}
	case 3:
		a.age = []float64{0, 0.5, 3, 12, 100}[r.IntN(5)]
	case 4:
		a.mood = []string{"", "calmer", "fiercer"}[r.IntN(3)]
	case 5:
		a.level = []string{"", "low", "moderate", "high"}[r.IntN(4)]
	case 6: // tanks of other sizes, alike or not
		for range some {
			a.tanks[r.IntN(len(a.tanks))] = size(r, r.IntN(1000))
		}
	case 7:
		a.filled = r.IntN(60)
	case 8:
		a.water = []float64{0, 18, 25, 30}[r.IntN(4)]
	case 9: // fewer lines or tanks, down to what is searched more closely
		a.lines = a.lines[:max(1, len(a.lines)-r.IntN(len(a.lines)))]
		a.tanks = a.tanks[:max(1, len(a.tanks)-r.IntN(len(a.tanks)))]
		a.together = r.IntN(2)
	}
}
