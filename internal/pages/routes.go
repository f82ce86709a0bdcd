package pages

import (
	"context"
	"net/http"
	"net/url"
	"sync"
)

// request is one question with the core that answers it.
type request struct {
	*Pages
	Answers // nil while there is no catalogue
	origin  string
	path    string
	query   url.Values
	accept  string
	vars    *http.Request
}

// value is a part of the path.
func (q *request) value(name string) string { return q.vars.PathValue(name) }

// Paths are the patterns that the pages answer, for a server that mounts them among its
// own.
var Paths = []string{
	"/{$}", "/pairings", "/pairings/{first}/{second}", "/lists", "/lists/{list}", "/species", "/species/{species}",
	"/reasons", "/reasons/{code}", "/docs/reasons", "/docs/reasons/{code}", "/docs", "/docs/operations/{name}", "/docs/schemas/{name}", "/counter", "/adopt", "/suggest", "/oembed",
	"/embed/pairings/{first}/{second}", "/embed/lists/{list}", "/embed/species/{species}", "/assets/{file}", "/favicon.ico",
}

// Owns reports whether a request is for one of our addresses.
func Owns(r *http.Request) bool {
	_, pattern := owned().Handler(r)
	return pattern != ""
}

// owned knows the addresses, and answers none.
var owned = sync.OnceValue(func() *http.ServeMux {
	mux := http.NewServeMux()
	for _, pattern := range Paths {
		mux.Handle(pattern, http.NotFoundHandler())
	}
	return mux
})

// route ties each pattern to what answers it.
func (p *Pages) route() {
	p.routes = http.NewServeMux()
	handlers := []func(*request) *reply{
		(*request).home, (*request).pairAsked, (*request).pair, (*request).listAsked, (*request).list, (*request).search, (*request).species,
		(*request).reasons, (*request).reason, (*request).reasons, (*request).reason, (*request).docsIndex, (*request).docsOperation, (*request).docsSchema, (*request).counter, (*request).adopt, (*request).suggest, (*request).oembed,
		(*request).embedPair, (*request).embedList, (*request).embedSpecies, (*request).asset, (*request).icon,
	}
	for i, pattern := range Paths {
		h := handlers[i]
		p.routes.HandleFunc(pattern, func(w http.ResponseWriter, r *http.Request) {
			q := requestOf(r.Context())
			q.vars = r
			w.(*capture).reply = q.ready(pattern, h)
		})
	}
}

// ready answers, or says that the catalogue is not there yet, where that is needed.
func (q *request) ready(pattern string, h func(*request) *reply) *reply {
	if q.Answers == nil && pattern != "/assets/{file}" && pattern != "/favicon.ico" {
		return q.busy()
	}
	return h(q)
}

// capture takes the reply out of the mux.
type capture struct{ reply *reply }

func (c *capture) Header() http.Header         { return http.Header{} }
func (c *capture) Write(b []byte) (int, error) { return len(b), nil }
func (c *capture) WriteHeader(int)             {}

type requestKey struct{}

func withRequest(ctx context.Context, q *request) context.Context {
	return context.WithValue(ctx, requestKey{}, q)
}

func requestOf(ctx context.Context) *request { return ctx.Value(requestKey{}).(*request) }
