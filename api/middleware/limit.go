// Package middleware is what every request passes before a room answers it: its identity in a trace, the access log and
// the metrics, errors and panics that become problems, CORS, who asks, and how often one may.
package middleware

import (
	"fmt"
	"net/http"
	"net/netip"
	"strconv"
	"time"

	"commensal/api/respond"
	"commensal/api/transact"
	"commensal/api/work"
	"commensal/internal/auth"
	"commensal/internal/clientaddr"

	"github.com/labstack/echo/v4"
)

// limiter counts the requests of clients told apart by K and says so in the RateLimit
// fields (IETF draft-ietf-httpapi-ratelimit-headers). A nil one counts nothing. Each
// replica counts for itself: with n of them a client has up to n times the quota.
type limiter[K comparable] struct {
	buckets *buckets[K]
	policy  []string
	whom    string // whose requests, for the refusal
}

func newLimiter[K comparable](limit RateLimit, whom string) *limiter[K] {
	if limit.Quota <= 0 {
		return nil
	}
	policy := fmt.Sprintf(`"default";q=%d;w=%d`, limit.Quota, wholeSeconds(limit.Window))
	return &limiter[K]{newBuckets[K](limit), []string{policy}, whom}
}

// admit counts one request and refuses it when there were too many, unless it is exempt.
func (l *limiter[K]) admit(h http.Header, key K, now time.Time, exempt bool) error {
	if l == nil {
		return nil
	}
	v := l.buckets.take(key, now)
	if exempt {
		v.allowed = true
	}
	h["Ratelimit-Policy"] = l.policy
	h["Ratelimit"] = []string{`"default";r=` + strconv.Itoa(v.left) + ";t=" + strconv.Itoa(wholeSeconds(v.whole))}
	if !v.allowed {
		return tooMany(l.whom, wholeSeconds(v.retry))
	}
	return nil
}

// Limits say how much a client may ask for.
type Limits struct {
	Address, Key RateLimit
	Proxies      clientaddr.Proxies // whose X-Forwarded-For is believed
	// ExemptLocal lets programs on this machine ask without limit. A proxy on this machine that
	// adds no header of its own lends that to everybody behind it.
	ExemptLocal bool
	Now         func() time.Time
	// Also names what counts beside the lookups on /v1; nil means nothing.
	Also func(*http.Request) bool
}

// charge takes what a request cost beyond a lookup from its client's bucket.
func (l *limiter[K]) charge(key K, account *work.Account, now time.Time) {
	if l == nil || account == nil {
		return
	}
	if tokens := float64(account.Units()) / work.Lookup; tokens >= 1 {
		l.buckets.charge(key, tokens, now)
	}
}

// counts reports whether a request counts for its client.
func (o *Limits) counts(r *http.Request) bool { return public(r) || o.Also != nil && o.Also(r) }

// Quotas count the requests on /v1 and on what counts beside it: by key where a key is sent that is known to be good
// without asking the database, by address otherwise. So nobody gets at the database,
// to have a key looked up, more often than an address may ask.
type Quotas struct {
	Limits
	guard     *Guard
	byAddress *limiter[netip.Addr]
	byKey     *limiter[string]
}

// NewQuotas makes the buckets of all clients.
func NewQuotas(g *Guard, l Limits) *Quotas {
	return &Quotas{l, g, newLimiter[netip.Addr](l.Address, "from this address"), newLimiter[string](l.Key, "with this key")}
}

// asker is on whose quota a request counts.
type asker struct {
	who     *auth.Principal // nil where it counts for the address
	account netip.Addr
	learn   bool // its key might be a good one
}

// asks finds out on whose quota a request counts. client is its address; looked says that a later step will look up its key.
func (q *Quotas) asks(r *http.Request, client netip.Addr, looked bool) asker {
	who, learn := q.guard.remembered(r)
	return asker{who, clientaddr.Account(client), learn && !looked}
}

// admit counts a request, tells in the answer what is left, and refuses it where there were too many.
func (q *Quotas) admit(h http.Header, r *http.Request, a asker) error {
	now := q.Now()
	if a.who != nil {
		return q.byKey.admit(h, a.who.Key, now, false)
	}
	return q.byAddress.admit(h, a.account, now, q.ExemptLocal && clientaddr.Local(r))
}

// learn has the key of a request looked up that might be a good one, so that the next one counts by key.
func (q *Quotas) learn(r *http.Request, a asker) {
	if a.learn {
		q.guard.verifier.LearnBeside(bearer(r.Header))
	}
}

// charge takes what a request cost beyond a lookup.
func (q *Quotas) charge(a asker, account *work.Account) {
	if a.who != nil {
		q.byKey.charge(a.who.Key, account, q.Now())
		return
	}
	q.byAddress.charge(a.account, account, q.Now())
}

// LimitRate holds each client to its quota.
func LimitRate(q *Quotas) echo.MiddlewareFunc {
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) error {
			r := c.Request()
			if !q.counts(r) {
				return next(c)
			}
			a := q.asks(r, q.Proxies.Client(r), q.guard.keyed[r.Method+" "+c.Path()])
			if a.who != nil {
				transact.SetWho(c, a.who)
			}
			if err := q.admit(c.Response().Header(), r, a); err != nil {
				return err
			}
			defer func() { q.charge(a, accountOf(c)) }()
			q.learn(r, a)
			return next(c)
		}
	}
}

func tooMany(whom string, wait int) error {
	seconds := strconv.Itoa(max(1, wait))
	return &respond.Fault{Slug: respond.TooManyRequests, Detail: "Too many requests " + whom + "; wait " + seconds + " s.",
		Header: map[string]string{"Retry-After": seconds}}
}
