package api_test

import (
	"bytes"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"testing"
	"time"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/internal/loadtest"
)

const speedTank = `"tank":{"size":"250x80x70cm","temperature_c":24.%06d,"ph":6.8,"gh_dh":8,"lid":true,"weekly_change":0.5,"filter_mature":true,"cover":0.7,"substrate":"sand","planted":true}`

func speedKinds(lines ...string) string {
	for i, l := range lines {
		id, count, _ := strings.Cut(l, " ")
		lines[i] = `{"species":"` + id + `","count":` + count + `}`
	}
	return `"residents":[` + strings.Join(lines, ",") + `]`
}

type sink struct {
	h http.Header
	n int
}

func (s *sink) Header() http.Header         { return s.h }
func (s *sink) WriteHeader(int)             {}
func (s *sink) Write(p []byte) (int, error) { s.n += len(p); return len(p), nil }

// BenchmarkHandledLists is the whole handler of computed lists without a network.
func BenchmarkHandledLists(b *testing.B) {
	four := speedKinds("paracheirodon-innesi 20", "hoplisoma-panda 8", "ancistrus-cirrhosus 1", "trichopodus-leerii 3")
	dozen := speedKinds("paracheirodon-innesi 20", "petitella-rhodostoma 15", "hoplisoma-panda 8", "ancistrus-cirrhosus 1", "trichopodus-leerii 3", "pangio-kuhlii 8",
		"thayeria-boehlkei 10", "nematobrycon-palmeri 10", "otocinclus-vittatus 8", "trigonostigma-heteromorpha 15", "hoplisoma-paleatum 8", "mikrogeophagus-altispinosus 2")
	s := apitest.ServerOf(b, fixture.Full(b), func(cfg *api.Config) {
		cfg.Logger = slog.New(slog.NewJSONHandler(io.Discard, nil))
	})
	for _, c := range []struct {
		name, body, path string
		lines            int
	}{
		{"4 full", `{` + speedTank + `,` + four + `}`, "/v1/checks", 1},
		{"4 brief", `{"detail":"brief",` + speedTank + `,` + four + `}`, "/v1/checks", 1},
		{"12 full", `{` + speedTank + `,` + dozen + `}`, "/v1/checks", 1},
		{"12 brief", `{"detail":"brief",` + speedTank + `,` + dozen + `}`, "/v1/checks", 1},
		{"batch of 20 4 full", `{` + speedTank + `,` + four + `}`, "/v1/checks/batch", 20},
		{"batch of 20 4 brief", `{"detail":"brief",` + speedTank + `,` + four + `}`, "/v1/checks/batch", 20},
	} {
		b.Run(c.name, func(b *testing.B) {
			n := 0
			b.ReportAllocs()
			used := processorTime()
			for b.Loop() {
				var body []byte
				for range c.lines {
					n++
					body = fmt.Appendf(body, c.body+"\n", n%1000000)
				}
				r := httptest.NewRequest("POST", c.path, bytes.NewReader(body))
				r.Header.Set("Content-Type", "application/json")
				if c.lines > 1 {
					r.Header.Set("Content-Type", "application/x-ndjson")
				}
				w := &sink{h: http.Header{}}
				s.Handler().ServeHTTP(w, r)
				if w.n < 500 {
					b.Fatal(w.n)
				}
			}
			b.ReportMetric(float64(processorTime()-used)/float64(b.N*c.lines), "cpu-ns/list")
		})
	}
}

// processorTime is what the process has used so far, which other work on the machine disturbs less than time that passes.
func processorTime() time.Duration {
	used, _ := loadtest.CPU(os.Getpid()) // 0 where the system does not say
	return used
}
