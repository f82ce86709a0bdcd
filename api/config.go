package api

import (
	"context"
	"log/slog"
	"net/netip"
	"time"

	"commensal/api/middleware"
	"commensal/internal/auth"
	"commensal/internal/clientaddr"
	"commensal/internal/conflict"
	"commensal/internal/evidence"
	"commensal/internal/species"
	"commensal/internal/store"

	"go.opentelemetry.io/otel/trace"
)

// Config is what a [Server] needs. Only Book is required.
type Config struct {
	// Book gives the book to answer from. It is called on every lookup and must be
	// quick and safe for concurrent use; nil means that no catalogue is loaded yet.
	Book func() *conflict.Book
	// Ping asks whether the database answers; nil means that there is none. Only
	// /readyz calls it, at most once in PingInterval whatever the load.
	Ping func(ctx context.Context) error
	// PingInterval is how long the answer of a Ping is believed. Zero means 1 second.
	PingInterval time.Duration
	// PingTimeout bounds a Ping. Zero means 1 second.
	PingTimeout time.Duration
	// Stale reports whether the catalogue may have a newer revision than that of the book:
	// the database cannot be heard of. Answers then say so. Nil means never.
	Stale func() bool
	// Stopping reports whether the service is about to end, when /readyz says no and all
	// else is still answered. Nil means never.
	Stopping func() bool
	// Version is the version of the program, part of every entity tag.
	Version string
	// Logger takes the access log (level Info, problems of the service Error). Nil
	// discards.
	Logger *slog.Logger
	// AccessLogger takes the access log, where it is another one than Logger.
	AccessLogger *slog.Logger
	// Store holds what is stored for organizations; nil means that there is no database,
	// and what would need one is answered with 503.
	Store *store.Store
	// Reports gives what keepers report of every pair, held in memory as the book is; nil,
	// and a nil result, mean that nothing is known of that.
	Reports func() *evidence.Tallies

	// Published is told of each revision of the catalogue that this server makes, before the
	// request that made it is answered, so that whoever made it finds it in the next
	// lookup. Other replicas hear of it from the database. Nil means that nobody listens.
	Published func(revision int64, c species.Catalogue)
	// Verifier finds out whose a key is. It is needed where Store is set.
	Verifier *auth.Verifier
	// KeyLife is for how long a key is good that is made without a time of expiry; zero is for ever.
	KeyLife time.Duration
	// RateLimit limits each client address on /v1.
	RateLimit RateLimit
	// KeyRateLimit limits each key on /v1, which then does not count for its address.
	KeyRateLimit middleware.RateLimit
	// ExemptLocal lets programs on this machine ask without limit. Not where a proxy runs on it.
	ExemptLocal bool
	// LogAddresses is how much of a client's address the access log has.
	LogAddresses clientaddr.Shown
	// TrustedProxies are the networks whose X-Forwarded-For is believed.
	TrustedProxies []netip.Prefix
	// WorkLimit is how much work a request about a list may take, in units of package budget: zero
	// means [work.DefaultLimit].
	WorkLimit int64
	// Processors is how many lists are judged at the same time, and how many processors there are for that. Zero means as many
	// as Go runs on.
	Processors int
	// CacheBytes bounds the encoded answers held in memory, half of it for pairings, half for lists, and
	// half as much again for pages and pictures. Zero means 32 MiB, a negative number holds none.
	CacheBytes int64
	// WithoutPages leaves out the pages for people: for a program that asks itself.
	WithoutPages bool
	// PublicURL is how people reach the pages, scheme and host, for links that leave the site: previews,
	// embeds, posts. Empty means what each request says.
	PublicURL string
	// Tracer makes a span of each request; nil means that none are made.
	Tracer trace.Tracer
	// Now is the clock; nil means time.Now.
	Now func() time.Time
}

// RateLimit is how often one client may ask.
type RateLimit = middleware.RateLimit

// limits say how often a client may ask.
func (c Config) limits() middleware.Limits {
	return middleware.Limits{Address: c.RateLimit, Key: c.KeyRateLimit, Proxies: c.TrustedProxies, ExemptLocal: c.ExemptLocal, Now: c.Now, Also: countsAsPage}
}

// accessLog says what is written of each request.
func (c Config) accessLog() middleware.AccessLog {
	return middleware.AccessLog{Logger: c.AccessLogger, Proxies: c.TrustedProxies, Addresses: c.LogAddresses}
}

func (c Config) withDefaults() Config {
	if c.PingInterval <= 0 {
		c.PingInterval = time.Second
	}
	if c.PingTimeout <= 0 {
		c.PingTimeout = time.Second
	}
	never := func() bool { return false }
	if c.Stale == nil {
		c.Stale = never
	}
	if c.Stopping == nil {
		c.Stopping = never
	}
	if c.Logger == nil {
		c.Logger = slog.New(slog.DiscardHandler)
	}
	if c.AccessLogger == nil {
		c.AccessLogger = c.Logger
	}
	c.RateLimit, c.KeyRateLimit = c.RateLimit.WithDefaults(), c.KeyRateLimit.WithDefaults()
	if c.CacheBytes == 0 {
		c.CacheBytes = 32 << 20
	}
	if c.Now == nil {
		c.Now = time.Now
	}
	return c
}
