package clientaddr_test

import (
	"net/http"
	"net/netip"
	"strings"
	"testing"

	"commensal/internal/clientaddr"
)

func proxies(networks ...string) (p clientaddr.Proxies) {
	for _, n := range networks {
		p = append(p, netip.MustParsePrefix(n))
	}
	return p
}

func TestClientBehindProxies(t *testing.T) {
	trusted := proxies("10.0.0.0/8", "127.0.0.1/32", "2001:db8:1::/48")
	for _, x := range []struct {
		name, peer string
		lines      []string
		want       string
	}{
		{"no proxy", "192.0.2.1:1234", nil, "192.0.2.1"},
		{"a stranger's header is not believed", "192.0.2.1:1234", []string{"198.51.100.1"}, "192.0.2.1"},
		{"one proxy", "10.0.0.1:1", []string{"192.0.2.7"}, "192.0.2.7"},
		{"what the client wrote before it is not believed", "10.0.0.1:1", []string{"1.1.1.1, 192.0.2.7"}, "192.0.2.7"},
		{"a line of the proxy's own", "10.0.0.1:1", []string{"1.1.1.1", "192.0.2.7"}, "192.0.2.7"},
		{"an empty line of the client", "10.0.0.1:1", []string{"", "192.0.2.7"}, "192.0.2.7"},
		{"an empty line behind", "10.0.0.1:1", []string{"192.0.2.7", ""}, "192.0.2.7"},
		{"empty places", "10.0.0.1:1", []string{"1.1.1.1,, 192.0.2.7 ,\t,"}, "192.0.2.7"},
		{"two proxies", "10.0.0.1:1", []string{"192.0.2.7, 10.2.3.4"}, "192.0.2.7"},
		{"two proxies in two lines", "10.0.0.1:1", []string{"1.1.1.1, 192.0.2.7", "10.2.3.4"}, "192.0.2.7"},
		{"only proxies", "10.0.0.1:1", []string{"10.9.9.9, 10.2.3.4"}, "10.9.9.9"},
		{"no header", "10.0.0.1:1", nil, "10.0.0.1"},
		{"an empty header", "10.0.0.1:1", []string{""}, "10.0.0.1"},
		{"not an address", "10.0.0.1:1", []string{"192.0.2.7, unknown"}, "10.0.0.1"},
		{"not an address behind a proxy", "10.0.0.1:1", []string{"192.0.2.7, _hidden, 10.1.1.1"}, "10.1.1.1"},
		{"with a port", "10.0.0.1:1", []string{"192.0.2.7:52814"}, "192.0.2.7"},
		{"IPv6", "10.0.0.1:1", []string{"2001:db8:2::7"}, "2001:db8:2::7"},
		{"IPv6 in brackets", "10.0.0.1:1", []string{"[2001:db8:2::7]"}, "2001:db8:2::7"},
		{"IPv6 with a port", "10.0.0.1:1", []string{"[2001:db8:2::7]:443"}, "2001:db8:2::7"},
		{"IPv6 with a zone", "10.0.0.1:1", []string{"fe80::1%eth0"}, "fe80::1"},
		{"IPv4 in IPv6", "10.0.0.1:1", []string{"::ffff:192.0.2.7"}, "192.0.2.7"},
		{"a proxy that speaks IPv4 over IPv6", "[::ffff:10.0.0.1]:1", []string{"192.0.2.7"}, "192.0.2.7"},
		{"a proxy that speaks IPv6", "[2001:db8:1::1]:1", []string{"192.0.2.7"}, "192.0.2.7"},
		{"a proxy on this machine", "127.0.0.1:1", []string{"192.0.2.7"}, "192.0.2.7"},
		{"a unix socket", "@", []string{"192.0.2.7"}, "invalid IP"},
	} {
		t.Run(x.name, func(t *testing.T) {
			r := &http.Request{RemoteAddr: x.peer, Header: http.Header{"X-Forwarded-For": x.lines}}
			if got := trusted.Client(r).String(); got != x.want {
				t.Errorf("got %s, want %s", got, x.want)
			}
		})
	}
}

func TestALongChainIsNotFollowedForLong(t *testing.T) {
	line := strings.Repeat("10.0.0.9,", 4000) + "10.0.0.8"
	r := &http.Request{RemoteAddr: "10.0.0.1:1", Header: http.Header{"X-Forwarded-For": {"192.0.2.7", line}}}
	if got := proxies("10.0.0.0/8").Client(r).String(); got != "10.0.0.9" {
		t.Errorf("got %s", got)
	}
	if n := testing.AllocsPerRun(10, func() { proxies("10.0.0.0/8").Client(r) }); n > 100 { // 4,000 hops would be thousands
		t.Errorf("%v allocations", n)
	}
}

func TestLocal(t *testing.T) {
	for _, x := range []struct {
		peer, header string
		want         bool
	}{
		{"127.0.0.1:9", "", true}, {"[::1]:9", "", true}, {"192.0.2.1:9", "", false}, {"@", "", false},
		{"127.0.0.1:9", "X-Forwarded-For", false}, {"127.0.0.1:9", "Forwarded", false}, {"127.0.0.1:9", "Via", false},
		{"127.0.0.1:9", "X-Real-Ip", false}, {"127.0.0.1:9", "Accept", true},
	} {
		r := &http.Request{RemoteAddr: x.peer, Header: http.Header{}}
		if x.header != "" {
			r.Header[x.header] = []string{""} // there, though empty
		}
		if got := clientaddr.Local(r); got != x.want {
			t.Errorf("%s with %q: %v", x.peer, x.header, got)
		}
	}
}

func TestShortened(t *testing.T) {
	for _, x := range [][4]string{
		{"192.0.2.77", "192.0.2.77", "192.0.2.77", "192.0.2.0"},
		{"2001:db8:1:2:3:4:5:6", "2001:db8:1:2::", "2001:db8:1:2:3:4:5:6", "2001:db8:1::"},
	} {
		a := netip.MustParseAddr(x[0])
		if got := clientaddr.Account(a).String(); got != x[1] {
			t.Errorf("%s is counted on %s", x[0], got)
		}
		if full, cut, off := clientaddr.Full.Text(a), clientaddr.Truncated.Text(a), clientaddr.Off.Text(a); full != x[2] || cut != x[3] || off != "" {
			t.Errorf("%s is shown as %q, %q, %q", x[0], full, cut, off)
		}
	}
	var none netip.Addr
	if clientaddr.Account(none) != none || clientaddr.Full.Text(none) != "" || clientaddr.Truncated.Text(none) != "" {
		t.Error("no address becomes one")
	}
	var s clientaddr.Shown
	for _, word := range []string{"full", "truncated", "off"} {
		if err := s.UnmarshalText([]byte(word)); err != nil || s.String() != word {
			t.Errorf("%s: %v, %v", word, s, err)
		}
	}
	if s.UnmarshalText([]byte("none")) == nil {
		t.Error("any word will do")
	}
}

func FuzzClient(f *testing.F) {
	f.Add("10.0.0.1:1", "192.0.2.7, [2001:db8::1]:443", "")
	f.Add("127.0.0.1:1", ",,,", "unknown")
	f.Fuzz(func(t *testing.T, peer, one, two string) {
		r := &http.Request{RemoteAddr: peer, Header: http.Header{"X-Forwarded-For": {one, two}}}
		trusted := proxies("10.0.0.0/8", "127.0.0.0/8")
		if got := trusted.Client(r); got.Zone() != "" || got.Is4In6() {
			t.Errorf("%s is not plain", got)
		}
		if from := clientaddr.Peer(r); from != trusted.Client(&http.Request{RemoteAddr: peer}) {
			t.Errorf("%s without a header", from)
		}
	})
}
