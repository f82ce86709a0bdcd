package pages

import (
	"net/http"
	"net/http/httptest"
	"strconv"
	"testing"
)

// What a page and a card cost, kept and computed anew, beside a bare handler that writes
// the same bytes: figures to compare within one run, never alone.
//
//	go test ./internal/pages -run '^$' -bench . -benchmem

const (
	benchPage = "/pairings/astronotus-ocellatus/paracheirodon-innesi"
	benchList = "/lists/1-betta-splendens-male+6-paracheirodon-innesi@60x30x36cm,25C"
)

// sink is a writer that costs nothing.
type sink struct{ header http.Header }

func (s *sink) Header() http.Header         { return s.header }
func (s *sink) Write(b []byte) (int, error) { return len(b), nil }
func (s *sink) WriteHeader(int)             {}

func benchmark(b *testing.B, h http.Handler, path string) {
	r := httptest.NewRequest(http.MethodGet, path, nil)
	b.ReportAllocs()
	for b.Loop() {
		h.ServeHTTP(&sink{http.Header{}}, r)
	}
}

// bare writes the same bytes and does nothing else.
func bare(b *testing.B, path string) http.Handler {
	answer := get(b, sharedPages(), path)
	text := []byte(body(b, answer))
	media, length := answer.Header.Get("Content-Type"), strconv.Itoa(len(text))
	return http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", media)
		w.Header().Set("Content-Length", length)
		_, _ = w.Write(text)
	})
}

func BenchmarkPage(b *testing.B) {
	for name, path := range map[string]string{"pair": benchPage, "list": benchList, "species": "/species/betta-splendens", "card.svg": benchPage + ".svg",
		"card.png": benchPage + ".png", "embed": "/embed" + benchPage} {
		b.Run(name+"/bare", func(b *testing.B) { benchmark(b, bare(b, path), path) })
		b.Run(name+"/kept", func(b *testing.B) { benchmark(b, sharedPages(), path) })
		b.Run(name+"/computed", func(b *testing.B) {
			p := sharedPages()
			r := httptest.NewRequest(http.MethodGet, path, nil)
			b.ReportAllocs()
			for b.Loop() {
				if p.answer(p.current(), r).status != http.StatusOK {
					b.Fatal("no page")
				}
			}
		})
	}
}
