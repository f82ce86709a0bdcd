package api

import (
	"net/http"
	"net/http/httptest"
	"net/netip"
	"strconv"
	"strings"
	"testing"
	"time"
)

func TestRateLimit(t *testing.T) {
	c := newClock()
	s := serverOf(t, few(t), func(cfg *Config) {
		cfg.Now = c.Now
		cfg.RateLimit = RateLimit{Quota: 3, Window: 30 * time.Second}
	})
	w := ask(t, s)
	for left := 2; left >= 0; left-- {
		a := w.get(oscarNeon)
		if want := `"default";r=` + string(rune('0'+left)) + ";t=" + strconv.Itoa(30-10*left); a.Code != 200 || a.Header().Get("RateLimit") != want || a.Header().Get("RateLimit-Policy") != `"default";q=3;w=30` {
			t.Errorf("%d, RateLimit %q, want %q", a.Code, a.Header().Get("RateLimit"), want)
		}
	}
	for _, target := range lookups {
		if a := w.get(target); a.Code != 429 || a.Header().Get("Retry-After") != "10" {
			t.Errorf("%s: %d, Retry-After %q", target, a.Code, a.Header().Get("Retry-After"))
		}
	}
	if a := w.post("/v1/pairings", `{"species":["oscar"]}`); a.Code != 429 {
		t.Errorf("matrix: %d", a.Code)
	}
	if a := w.get("/readyz"); a.Code != 200 {
		t.Errorf("health is limited: %d", a.Code)
	}
	c.turn(10 * time.Second)
	if a := w.get(oscarNeon); a.Code != 200 {
		t.Errorf("after Retry-After: %d", a.Code)
	}
	r := newRequest(t, "GET", oscarNeon, "")
	r.RemoteAddr = "198.51.100.7:1"
	if a := w.send(r); a.Code != 200 {
		t.Errorf("another address: %d", a.Code)
	}
}

func TestBucketsAreBounded(t *testing.T) {
	b := newBuckets[netip.Addr](RateLimit{Quota: 2, Window: time.Minute, Clients: 10})
	c := newClock()
	for i := range 1000 {
		b.take(netip.AddrFrom4([4]byte{10, 0, byte(i >> 8), byte(i)}), c.Now())
	}
	if b.order.Len() != 10 || len(b.byKey) != 10 {
		t.Errorf("%d buckets, %d keys", b.order.Len(), len(b.byKey))
	}
	c.turn(time.Hour)
	for i := range 10 {
		b.take(netip.AddrFrom4([4]byte{10, 1, 0, byte(i)}), c.Now())
	}
	b.take(netip.AddrFrom4([4]byte{10, 1, 0, 0}), c.Now())
	if v := b.take(netip.AddrFrom4([4]byte{10, 1, 0, 0}), c.Now().Add(-time.Hour)); v.allowed {
		t.Error("a clock set back gives tokens")
	}
}

func TestClientAddress(t *testing.T) {
	trusted := []netip.Prefix{netip.MustParsePrefix("10.0.0.0/8"), netip.MustParsePrefix("fd00::/8")}
	for _, c := range []struct {
		name, remote, forwarded string
		trusted                 []netip.Prefix
		want                    string
	}{
		{"the peer", "192.0.2.1:5", "", nil, "192.0.2.1"},
		{"nobody is trusted", "10.0.0.1:5", "203.0.113.9", nil, "10.0.0.1"},
		{"a stranger's word is not believed", "192.0.2.1:5", "203.0.113.9", trusted, "192.0.2.1"},
		{"a proxy's word is", "10.0.0.1:5", "203.0.113.9", trusted, "203.0.113.9"},
		{"only the last before the proxies", "10.0.0.1:5", "1.1.1.1, 203.0.113.9, 10.0.0.2", trusted, "203.0.113.9"},
		{"garbage ends the chain", "10.0.0.1:5", "203.0.113.9, unknown, 10.0.0.2", trusted, "10.0.0.2"},
		{"an empty chain", "10.0.0.1:5", "", trusted, "10.0.0.1"},
		{"IPv6 counts by network", "[2001:db8:1:2:3::4]:5", "", nil, "2001:db8:1:2::"},
		{"IPv4 in IPv6", "[::ffff:192.0.2.1]:5", "", nil, "192.0.2.1"},
		{"a unix socket", "@", "", nil, "invalid IP"},
	} {
		r := httptest.NewRequest("GET", "/", nil)
		r.RemoteAddr = c.remote
		r.Header.Set("X-Forwarded-For", c.forwarded)
		if got := clientAddress(r, c.trusted).String(); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}

func TestPagesOfOtherOriginsMayAsk(t *testing.T) {
	w := ask(t, serverOf(t, few(t)))
	for _, target := range append([]string{"/v1/species/oscarr"}, lookups...) {
		a := w.get(target, "Origin", "https://forum.example")
		if a.Header().Get("Access-Control-Allow-Origin") != "*" || !strings.Contains(a.Header().Get("Access-Control-Expose-Headers"), "ETag") {
			t.Errorf("%s: %v", target, a.Header())
		}
	}
	a := w.do("OPTIONS", "/v1/pairings", "", "Origin", "https://forum.example", "Access-Control-Request-Method", "POST", "Access-Control-Request-Headers", "content-type")
	if a.Code != 204 || a.Header().Get("Access-Control-Allow-Methods") != "POST" || !strings.Contains(a.Header().Get("Access-Control-Allow-Headers"), "Content-Type") || a.Header().Get("Access-Control-Allow-Origin") != "*" {
		t.Errorf("preflight: %d %v", a.Code, a.Header())
	}
	if a := w.do("OPTIONS", "/v1/nothing", ""); a.Code != 404 {
		t.Errorf("preflight of nothing: %d", a.Code)
	}
	if a := w.get("/livez"); a.Header().Get("Access-Control-Allow-Origin") != "" {
		t.Error("the health of the service is open to other origins")
	}
}

func TestProgramsOnTheSameMachineAreNotRefused(t *testing.T) {
	for _, c := range []struct {
		name, remote, forwarded string
		want                    bool
	}{
		{"over loopback", "127.0.0.1:9", "", true},
		{"over loopback, version 6", "[::1]:9", "", true},
		{"passed on by a proxy on this machine", "127.0.0.1:9", "198.51.100.7", false},
		{"from elsewhere", "198.51.100.7:9", "", false},
	} {
		r := httptest.NewRequest(http.MethodGet, "/v1/species", nil)
		r.RemoteAddr = c.remote
		if c.forwarded != "" {
			r.Header.Set("X-Forwarded-For", c.forwarded)
		}
		if got := fromThisMachine(r); got != c.want {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}
