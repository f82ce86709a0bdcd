package middleware

import (
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
