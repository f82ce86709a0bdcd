package pages

import (
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync"
	"testing"
	"time"

	"commensal"
	"commensal/db"
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/species/catalogue"
)

var builtIn = sync.OnceValues(func() (*conflict.Book, error) {
	c, err := catalogue.Parse(db.CatalogueFS())
	if err != nil {
		return nil, err
	}
	return bookOf(1, c)
})

func bookOf(revision int64, c species.Catalogue) (*conflict.Book, error) {
	snapshot, err := species.NewSnapshot(revision, c)
	if err != nil {
		return nil, err
	}
	model, err := conflict.Default()
	if err != nil {
		return nil, err
	}
	return conflict.NewBook(model, snapshot), nil
}

// theDay is the day of every test.
var theDay = time.Date(2026, 11, 30, 12, 0, 0, 0, time.UTC)

// newPages are pages over a book; nil is the one in the binary.
func newPages(t testing.TB, book func() *conflict.Book) *Pages {
	t.Helper()
	if book == nil {
		b, err := builtIn()
		if err != nil {
			t.Fatal(err)
		}
		book = func() *conflict.Book { return b }
	}
	p, err := New(Config{Book: book, CacheBytes: 32 << 20, Contract: commensal.Contract(), PublicURL: "https://fish.example", Now: func() time.Time { return theDay }})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

var sharedPages = sync.OnceValue(func() *Pages {
	b, err := builtIn()
	if err != nil {
		panic(err)
	}
	p, err := New(Config{Book: func() *conflict.Book { return b }, CacheBytes: 32 << 20, Contract: commensal.Contract(), PublicURL: "https://fish.example", Now: func() time.Time { return theDay }})
	if err != nil {
		panic(err)
	}
	return p
})

// get asks for an address; headers are names and values in turn.
func get(t testing.TB, h http.Handler, path string, headers ...string) *http.Response {
	t.Helper()
	return ask(t, h, http.MethodGet, path, headers...)
}

func ask(t testing.TB, h http.Handler, method, path string, headers ...string) *http.Response {
	t.Helper()
	r := httptest.NewRequest(method, path, nil)
	for i := 0; i+1 < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	w := httptest.NewRecorder()
	h.ServeHTTP(w, r)
	return w.Result()
}

func body(t testing.TB, r *http.Response) string {
	t.Helper()
	b, err := io.ReadAll(r.Body)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// addresses are each kind of address that answers 200.
var addresses = []string{
	"/", "/pairings/astronotus-ocellatus/paracheirodon-innesi", "/pairings/betta-splendens/betta-splendens?first_count=2&second_count=2",
	"/pairings/carassius-auratus/paracheirodon-innesi?tank=54L&temperature_c=25&cover=0.8&first_sex=male&second_length_cm=2",
	"/lists/1-betta-splendens-male+6-paracheirodon-innesi@60x30x36cm,25C",
	"/lists/2-astronotus-ocellatus+10-paracheirodon-innesi~1-pterophyllum-scalare", "/species", "/species?q=tetra", "/species/betta-splendens",
	"/reasons", "/reasons/predation", "/docs", "/docs/operations/checkList", "/docs/schemas/Check", "/counter",
	"/counter?for=1-astronotus-ocellatus%2B6-paracheirodon-innesi%4054L", "/adopt", "/adopt?for=6-paracheirodon-innesi~1-betta-splendens-male%4054L",
	"/pairings?first=pleco&second=", "/lists?list=zzzzzz",
}

// hostile are texts that try to break out of a page.
var hostile = []string{
	`<script>alert(1)</script>`, `"><img src=x onerror=alert(1)>`, `javascript:alert(1)`, "\u202egnp.exe", "x\u0000y", strings.Repeat("ü", 300),
	`'; DROP TABLE fish; --`, `{{.}}`, `../../etc/passwd`, `//evil.example/`, `\\evil.example`, "a\r\nSet-Cookie: a=b",
}
