package clientaddr

import (
	"net/http"
	"net/netip"
	"slices"
	"strings"
)

// maxHops bounds how many addresses of X-Forwarded-For are looked at: no chain of proxies
// is longer, and a client may have written thousands.
const maxHops = 32

// Proxies are the networks of the proxies whose X-Forwarded-For is believed.
type Proxies []netip.Prefix

// Client is the address that a request is accounted to: its peer, or, where the peer is a
// trusted proxy, the last address in X-Forwarded-For that is not one. The header may come
// in several lines, with empty places, with ports, and IPv6 with brackets or a zone. What
// cannot be read ends the search, for whatever stands before it cannot be believed. A peer
// without an address, such as a unix socket, is the zero Addr.
func (p Proxies) Client(r *http.Request) netip.Addr {
	client := Peer(r)
	if !p.trust(client) {
		return client
	}
	for hop := range hops(r.Header.Values("X-Forwarded-For")) {
		a, ok := parse(hop)
		if !ok {
			return client
		}
		client = a
		if !p.trust(client) {
			return client
		}
	}
	return client
}

func (p Proxies) trust(a netip.Addr) bool {
	return slices.ContainsFunc(p, func(network netip.Prefix) bool { return network.Contains(a) })
}

// hops yields the entries of a list header that are not empty, the last one first.
func hops(lines []string) func(yield func(string) bool) {
	return func(yield func(string) bool) {
		n := 0
		for _, line := range slices.Backward(lines) {
			for line != "" && n < maxHops {
				at := strings.LastIndexByte(line, ',')
				entry := strings.Trim(line[at+1:], " \t")
				line = line[:max(at, 0)]
				if entry == "" {
					continue
				}
				if n++; !yield(entry) {
					return
				}
			}
		}
	}
}

// parse reads an address as proxies write it: bare, with a port, in brackets.
func parse(text string) (a netip.Addr, ok bool) {
	if ap, err := netip.ParseAddrPort(text); err == nil {
		return plain(ap.Addr()), true
	}
	if inner, found := strings.CutPrefix(text, "["); found {
		text = strings.TrimSuffix(inner, "]")
	}
	a, err := netip.ParseAddr(text)
	return plain(a), err == nil
}

// plain is an address without a zone, IPv4 as IPv4.
func plain(a netip.Addr) netip.Addr { return a.Unmap().WithZone("") }

// Peer is the other end of the request's connection; the zero Addr where it has none.
func Peer(r *http.Request) netip.Addr {
	ap, err := netip.ParseAddrPort(r.RemoteAddr)
	if err != nil {
		return netip.Addr{}
	}
	return plain(ap.Addr())
}

// forwarding are the headers by which a proxy gives itself away.
var forwarding = [...]string{"X-Forwarded-For", "Forwarded", "Via", "X-Real-Ip", "X-Forwarded-Host", "X-Forwarded-Proto"}

// Local reports a request of a program on the service's own machine: it came over loopback
// and shows no sign of a proxy. A proxy on this machine that adds no header at all looks
// the same, so nothing may rest on this unless whoever runs the service says so.
func Local(r *http.Request) bool {
	return Peer(r).IsLoopback() && !slices.ContainsFunc(forwarding[:], func(name string) bool { return len(r.Header[name]) > 0 })
}
