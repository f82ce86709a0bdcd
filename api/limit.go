package api

import (
	"fmt"
	"net/http"
	"strconv"

	"github.com/labstack/echo/v4"
)

// limitRate limits each client address on /v1 and says so in the RateLimit fields
// (IETF draft-ietf-httpapi-ratelimit-headers).
func limitRate(cfg Config) echo.MiddlewareFunc {
	if cfg.RateLimit.Quota <= 0 {
		return func(next echo.HandlerFunc) echo.HandlerFunc { return next }
	}
	buckets := newBuckets(cfg.RateLimit)
	policy := []string{fmt.Sprintf(`"default";q=%d;w=%d`, cfg.RateLimit.Quota, wholeSeconds(cfg.RateLimit.Window))}
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) error {
			if !public(c.Request()) {
				return next(c)
			}
			v := buckets.take(clientAddress(c.Request(), cfg.TrustedProxies), cfg.Now())
			if fromThisMachine(c.Request()) {
				v.allowed = true
			}
			h := c.Response().Header()
			h["Ratelimit-Policy"] = policy
			h["Ratelimit"] = []string{`"default";r=` + strconv.Itoa(v.left) + ";t=" + strconv.Itoa(wholeSeconds(v.whole))}
			if !v.allowed {
				return tooMany(wholeSeconds(v.retry))
			}
			return next(c)
		}
	}
}

// fromThisMachine reports a request of a program on the service's own machine, which is
// never refused: it comes over loopback, and no proxy passed it on for somebody else.
func fromThisMachine(r *http.Request) bool {
	return peerAddress(r.RemoteAddr).IsLoopback() && r.Header.Get("X-Forwarded-For") == "" && r.Header.Get("Forwarded") == ""
}

func tooMany(wait int) error {
	seconds := strconv.Itoa(max(1, wait))
	return &fault{slug: tooManyRequests, detail: "Too many requests from this address; wait " + seconds + " s.",
		header: map[string]string{"Retry-After": seconds}}
}
