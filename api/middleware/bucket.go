package middleware

import (
	"container/list"
	"math"
	"sync"
	"time"
)

// buckets are the token buckets of all clients, told apart by K. A full bucket is the same as none, so
// idle clients are forgotten without loss.
type buckets[K comparable] struct {
	quota  float64
	refill time.Duration // one token
	most   int

	mu    sync.Mutex
	order *list.List // of *bucket[K], most recently used first
	byKey map[K]*list.Element
}

type bucket[K comparable] struct {
	key    K
	tokens float64
	at     time.Time
}

// verdict is what a client is told about its bucket.
type verdict struct {
	allowed bool
	left    int           // whole requests that may follow at once
	whole   time.Duration // until the bucket is full again
	retry   time.Duration // until the next request is allowed; 0 when it is now
}

func newBuckets[K comparable](limit RateLimit) *buckets[K] {
	return &buckets[K]{
		quota: float64(limit.Quota), refill: limit.Window / time.Duration(limit.Quota), most: limit.Clients,
		order: list.New(), byKey: map[K]*list.Element{},
	}
}

// take takes one token from the client's bucket, if there is one.
func (b *buckets[K]) take(key K, now time.Time) verdict {
	b.mu.Lock()
	defer b.mu.Unlock()
	x := b.of(key, now)
	x.tokens = b.tokensAt(x, now)
	x.at = now
	v := verdict{allowed: x.tokens >= 1}
	if v.allowed {
		x.tokens--
	}
	v.left = int(max(0, x.tokens))
	v.whole = b.time(b.quota - x.tokens)
	if !v.allowed {
		v.retry = b.time(1 - x.tokens)
	}
	return v
}

// charge takes tokens for what a request turned out to cost. A bucket may come to owe as many as
// it holds: then its client waits.
func (b *buckets[K]) charge(key K, tokens float64, now time.Time) {
	b.mu.Lock()
	defer b.mu.Unlock()
	x := b.of(key, now)
	x.tokens = max(b.tokensAt(x, now)-tokens, -b.quota)
	x.at = now
}

// of finds or makes the client's bucket and marks it as used.
func (b *buckets[K]) of(key K, now time.Time) *bucket[K] {
	if e, ok := b.byKey[key]; ok {
		b.order.MoveToFront(e)
		return e.Value.(*bucket[K])
	}
	b.forgetIdle(now)
	x := &bucket[K]{key: key, tokens: b.quota, at: now}
	b.byKey[key] = b.order.PushFront(x)
	return x
}

// forgetIdle drops at most two full buckets from the long unused end, so that memory
// falls again after a rush, and one more where there is no room.
func (b *buckets[K]) forgetIdle(now time.Time) {
	for range 2 {
		last := b.order.Back()
		if last == nil || b.tokensAt(last.Value.(*bucket[K]), now) < b.quota {
			break
		}
		b.drop(last)
	}
	if b.order.Len() >= b.most {
		b.drop(b.order.Back())
	}
}

func (b *buckets[K]) drop(e *list.Element) {
	delete(b.byKey, e.Value.(*bucket[K]).key)
	b.order.Remove(e)
}

// tokensAt is what has trickled in by now; a clock that was set back adds nothing.
func (b *buckets[K]) tokensAt(x *bucket[K], now time.Time) float64 {
	return min(b.quota, x.tokens+max(0, float64(now.Sub(x.at))/float64(b.refill)))
}

func (b *buckets[K]) time(tokens float64) time.Duration {
	return time.Duration(tokens * float64(b.refill))
}

// wholeSeconds rounds up: a client that waits so long has waited long enough.
func wholeSeconds(d time.Duration) int { return int(math.Ceil(d.Seconds())) }

// RateLimit is a token bucket for each client: Quota requests at once, refilled
// evenly over Window.
type RateLimit struct {
	// Quota is the size of the bucket; zero switches the limit off.
	Quota int
	// Window is the time in which an empty bucket fills. Zero means 1 minute.
	Window time.Duration
	// Clients bounds the addresses remembered. Zero means 65,536. Beyond it the
	// longest unseen is forgotten, which only ever favours a client.
	Clients int
}

func (l RateLimit) WithDefaults() RateLimit {
	if l.Window <= 0 {
		l.Window = time.Minute
	}
	if l.Clients <= 0 {
		l.Clients = 1 << 16
	}
	return l
}
