package api_test

import (
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"os"
	"strings"
	"testing"
	"time"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/internal/loadtest"
)

// calmFour and calmDozen are lists that commensal bench asks about.
var calmFour = []string{"paracheirodon-innesi 20", "hoplisoma-panda 8", "ancistrus-cirrhosus 1", "trichopodus-leerii 3"}

var calmDozen = append([]string{"petitella-rhodostoma 15", "pangio-kuhlii 8", "thayeria-boehlkei 10", "nematobrycon-palmeri 10", "otocinclus-vittatus 8",
	"trigonostigma-heteromorpha 15", "hoplisoma-paleatum 8", "mikrogeophagus-altispinosus 2"}, calmFour...)

// list is a request for a check whose temperature has digits to be filled in, so that none is like another.
func list(fields string, kinds []string) string {
	lines := make([]string, len(kinds))
	for i, l := range kinds {
		id, count, _ := strings.Cut(l, " ")
		lines[i] = `{"species":"` + id + `","count":` + count + `}`
	}
	return `{` + fields + `"tank":{"size":"250x80x70cm","temperature_c":24.%06d,"ph":6.8,"gh_dh":8,"lid":true,"weekly_change":0.5,"filter_mature":true,"cover":0.7,"substrate":"sand","planted":true},` +
		`"residents":[` + strings.Join(lines, ",") + "]}\n"
}

// counted counts the bytes of an answer.
type counted struct {
	header http.Header
	bytes  int
}

func (c *counted) Header() http.Header { return c.header }

func (c *counted) WriteHeader(int) {}

func (c *counted) Write(p []byte) (int, error) {
	c.bytes += len(p)
	return len(p), nil
}

// BenchmarkHandledLists is the whole handler of lists that are computed, without a network, by list; a batch has twenty.
func BenchmarkHandledLists(b *testing.B) {
	s := apitest.ServerOf(b, fixture.Full(b), func(cfg *api.Config) { cfg.Logger = slog.New(slog.NewJSONHandler(io.Discard, nil)) })
	for _, c := range []struct {
		name, list string
		lists      int
	}{
		{"4 kinds", list("", calmFour), 1},
		{"4 kinds in brief", list(`"detail":"brief",`, calmFour), 1},
		{"12 kinds", list("", calmDozen), 1},
		{"12 kinds in brief", list(`"detail":"brief",`, calmDozen), 1},
		{"4 kinds in a batch", list("", calmFour), 20},
		{"4 kinds in a batch in brief", list(`"detail":"brief",`, calmFour), 20},
	} {
		b.Run(c.name, func(b *testing.B) {
			path, media := "/v1/checks", "application/json"
			if c.lists > 1 {
				path, media = "/v1/checks/batch", "application/x-ndjson"
			}
			asked := 0
			b.ReportAllocs()
			used, _ := loadtest.CPU(os.Getpid())
			for b.Loop() {
				var body strings.Builder
				for range c.lists {
					asked++
					fmt.Fprintf(&body, c.list, asked%1_000_000)
				}
				r := apitest.NewRequest(b, "POST", path, body.String())
				r.Header.Set("Content-Type", media)
				answer := &counted{header: http.Header{}}
				s.Handler().ServeHTTP(answer, r)
				if answer.bytes < 500*c.lists {
					b.Fatal(answer.bytes, "bytes")
				}
			}
			now, _ := loadtest.CPU(os.Getpid()) // which other work on the machine disturbs less than the time that passes
			b.ReportMetric(float64((now-used)/time.Duration(b.N*c.lists)), "cpu-ns/list")
		})
	}
}
