package clientaddr

import (
	"fmt"
	"net/netip"
)

// Account is what a limit is counted on: an IPv4 address, or the /64 of an IPv6 address,
// the smallest network that a customer is given.
func Account(a netip.Addr) netip.Addr { return network(a, 32, 64) }

// Shown is how much of a client's address a log has.
type Shown int

// How much of an address is shown.
const (
	Full      Shown = iota
	Truncated       // IPv4 to its /24, IPv6 to its /48: a neighbourhood, not a household
	Off
)

var shownWords = [...]string{"full", "truncated", "off"}

// String is the word for it in settings.
func (s Shown) String() string { return shownWords[s] }

// MarshalText is String.
func (s Shown) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// UnmarshalText reads a word of a setting.
func (s *Shown) UnmarshalText(text []byte) error {
	for i, word := range shownWords {
		if word == string(text) {
			*s = Shown(i)
			return nil
		}
	}
	return fmt.Errorf("%q is none of full, truncated, off", text)
}

// Text is the address as it may be shown; "" for nothing.
func (s Shown) Text(a netip.Addr) string {
	switch {
	case s == Off || !a.IsValid():
		return ""
	case s == Truncated:
		a = network(a, 24, 48)
	}
	return a.String()
}

// network is the first address of the network that an address lies in.
func network(a netip.Addr, bits4, bits6 int) netip.Addr {
	bits := bits6
	if a.Is4() {
		bits = bits4
	}
	p, err := a.Prefix(bits)
	if err != nil { // the zero Addr
		return a
	}
	return p.Addr()
}
