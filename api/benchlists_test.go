package api

import (
	"encoding/json"
	"io"
	"log/slog"
	"net/http/httptest"
	"strconv"
	"testing"

	"commensal/api/gen"
	"commensal/internal/stocking"

	"github.com/labstack/echo/v4"
)

// dozen is a tank of twelve kinds.
const dozen = `{"tank":{"size":"180x60x60cm","temperature_c":25,"ph":6.8,"gh_dh":6,"lid":true,"weekly_change":0.4,"filter_mature":true,"cover":0.6,"substrate":"sand"},
"residents":[{"species":"paracheirodon-innesi","count":15},{"species":"petitella-rhodostoma","count":12},{"species":"hoplisoma-panda","count":8},
{"species":"pterophyllum-scalare","count":4},{"species":"ancistrus-cirrhosus","count":1},{"species":"trichopodus-leerii","count":3},{"species":"pangio-kuhlii","count":6},
{"species":"thayeria-boehlkei","count":8},{"species":"nematobrycon-palmeri","count":8},{"species":"mikrogeophagus-ramirezi","count":2},{"species":"otocinclus-vittatus","count":6}],
"incoming":[{"species":"puntigrus-tetrazona","count":8}]}`

// posting is a target that is sent one body over and over.
func posting(b *testing.B, t *target, path, body string) *target {
	b.Helper()
	for _, k := range t.mine {
		k.request = []byte("POST " + path + " HTTP/1.1\r\nHost: localhost\r\nContent-Type: application/json\r\nContent-Length: " +
			strconv.Itoa(len(body)) + "\r\n\r\n" + body)
	}
	return t
}

// BenchmarkListsAgainstBareEcho compares the answers to whole lists with an echo handler
// that returns as many ready bytes, round by round like BenchmarkPairingAgainstBareEcho.
func BenchmarkListsAgainstBareEcho(b *testing.B) {
	for _, c := range []struct {
		name, path, body string
		cache            int
	}{
		{"check of 12 kinds kept", "/v1/checks", dozen, 0},
		{"check of 12 kinds computed", "/v1/checks", dozen, -1},
		{"additions to 11 kinds computed", "/v1/additions", additionsBody(b), -1},
		{"groupings of 12 kinds computed", "/v1/groupings", groupingsBody(b), -1},
	} {
		b.Run(c.name, func(b *testing.B) {
			s := serverOf(b, fitted(b), func(cfg *Config) {
				cfg.Logger = slog.New(slog.NewJSONHandler(io.Discard, nil))
				cfg.RateLimit = RateLimit{Quota: 1 << 30}
				cfg.CacheEntries = c.cache
			})
			body := ask(b, s).post(c.path, c.body).Body.Bytes()
			bare := echo.New()
			bare.POST(c.path, func(c echo.Context) error { return c.JSONBlob(200, body) })
			ours := posting(b, newTarget(b, "ours", s.Handler(), c.path), c.path, c.body)
			theirs := posting(b, newTarget(b, "bare", bare, c.path), c.path, c.body)
			ours.round(b, 5)
			theirs.round(b, 5)
			ours.took, theirs.took = 0, 0
			for b.Loop() {
				ours.round(b, 5)
				theirs.round(b, 5)
			}
			b.ReportMetric(float64(theirs.took)/float64(ours.took), "ratio")
			b.ReportMetric(float64(b.N*5*len(ours.mine))/ours.took.Seconds(), "ours/s")
			b.ReportMetric(float64(len(body)), "bytes")
		})
	}
}

// additionsBody asks for what could join the residents of dozen.
func additionsBody(b *testing.B) string {
	in := theDozen(b)
	return asText(b, gen.AdditionsRequest{Tank: in.Tank, Residents: in.Residents})
}

// groupingsBody asks for dozen, all twelve kinds, in as few tanks as will do.
func groupingsBody(b *testing.B) string {
	in := theDozen(b)
	return asText(b, gen.GroupingsRequest{Residents: append(in.Residents, *in.Incoming...)})
}

func theDozen(b *testing.B) (in gen.CheckRequest) {
	b.Helper()
	if err := json.Unmarshal([]byte(dozen), &in); err != nil {
		b.Fatal(err)
	}
	return in
}

func asText(b *testing.B, request any) string {
	b.Helper()
	text, err := json.Marshal(request)
	if err != nil {
		b.Fatal(err)
	}
	return string(text)
}

// BenchmarkCheck is the parts of a check: judging alone, words and encoding alone, and
// the whole handler without a network.
func BenchmarkCheck(b *testing.B) {
	book := fitted(b)
	in := theDozen(b)
	stock, err := readCheck(book.Snapshot, &in)
	if err != nil {
		b.Fatal(err)
	}
	check, err := stocking.Judge(book, stock)
	if err != nil {
		b.Fatal(err)
	}
	b.Run("judged", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if _, err := stocking.Judge(book, stock); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("worded and encoded", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			if _, err := jsonReply(newListWire(book, &stock, len(in.Residents), false).check(&check)); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("worded", func(b *testing.B) {
		b.ReportAllocs()
		for b.Loop() {
			newListWire(book, &stock, len(in.Residents), false).check(&check)
		}
	})
	b.Run("handled", func(b *testing.B) {
		s := serverOf(b, book, func(cfg *Config) { cfg.CacheEntries = -1 })
		b.ReportAllocs()
		for b.Loop() {
			r := newRequest(b, "POST", "/v1/checks", dozen)
			r.Header.Set("Content-Type", "application/json")
			s.Handler().ServeHTTP(httptest.NewRecorder(), r)
		}
	})
}
