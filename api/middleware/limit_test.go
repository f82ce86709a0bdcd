package middleware

import (
	"net/http"
	"net/http/httptest"
	"net/netip"
	"testing"
	"time"

	"commensal/api/apitest/fixture"
)

func TestBucketsAreBounded(t *testing.T) {
	b := newBuckets[netip.Addr](RateLimit{Quota: 2, Window: time.Minute, Clients: 10})
	c := fixture.NewClock()
	for i := range 1000 {
		b.take(netip.AddrFrom4([4]byte{10, 0, byte(i >> 8), byte(i)}), c.Now())
	}
	if b.order.Len() != 10 || len(b.byKey) != 10 {
		t.Errorf("%d buckets, %d keys", b.order.Len(), len(b.byKey))
	}
	c.Turn(time.Hour)
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
