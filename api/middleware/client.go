package middleware

import (
	"net/http"
	"net/netip"
	"slices"
	"strings"
)

// clientAddress is the address that a limit is counted on: the peer, or, where the
// peer is a trusted proxy, the last address in X-Forwarded-For that is not one. An
// IPv6 client is counted by its /64, the smallest network a customer is given.
func clientAddress(r *http.Request, trusted []netip.Prefix) netip.Addr {
	peer := peerAddress(r.RemoteAddr)
	if len(trusted) == 0 || !isTrusted(peer, trusted) {
		return network(peer)
	}
	hops := strings.Split(strings.Join(r.Header.Values("X-Forwarded-For"), ","), ",")
	for _, hop := range slices.Backward(hops) {
		a, err := netip.ParseAddr(strings.TrimSpace(hop))
		if err != nil {
			break // whatever stands before it cannot be believed
		}
		peer = a.Unmap()
		if !isTrusted(peer, trusted) {
			break
		}
	}
	return network(peer)
}

// peerAddress reads the address of a connection; what cannot be read, such as a unix
// socket, is one client.
func peerAddress(remote string) netip.Addr {
	ap, err := netip.ParseAddrPort(remote)
	if err != nil {
		return netip.Addr{}
	}
	return ap.Addr().Unmap()
}

func isTrusted(a netip.Addr, trusted []netip.Prefix) bool {
	return slices.ContainsFunc(trusted, func(p netip.Prefix) bool { return p.Contains(a) })
}

func network(a netip.Addr) netip.Addr {
	if !a.Is6() {
		return a
	}
	p, err := a.WithZone("").Prefix(64)
	if err != nil {
		return a
	}
	return p.Addr()
}
