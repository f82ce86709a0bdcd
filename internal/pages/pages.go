package pages

import (
	"errors"
	"net/http"
	"strings"
	"sync"
	"sync/atomic"

	"commensal/internal/conflict"
	"commensal/internal/pages/answers"
	"commensal/internal/pages/docs"
	"commensal/internal/pages/links"
	"commensal/internal/pages/words"

	"github.com/maypok86/otter/v2"
)

// Answers is what pages ask of the core.
type Answers interface {
	Edition() string // equal editions give equal answers
	Model() string
	Revision() int64
	Kinds() int
	Resolve(name string) answers.Named
	Search(q string, limit int) []answers.Suggestion
	Pair(links.Pair) (answers.Pairing, bool)
	PairGrowth(links.Pair) *answers.Growth
	List(links.List) (answers.List, error)
	ListGrowth(links.List) *answers.Growth
	Species(id string) (answers.Species, bool)
	Company(id string) (answers.Company, bool)
}

// Pages is the handler. It is safe for many goroutines at once.
type Pages struct {
	cfg    Config
	words  words.Words
	render *renderer
	docs   func() (*docs.Contract, error) // read when first asked for
	routes *http.ServeMux
	kept   *otter.Cache[string, *reply]

	edition atomic.Pointer[edition]
	swap    sync.Mutex
}

// edition is the core as of one book.
type edition struct {
	book    *conflict.Book
	answers Answers
}

// New makes the pages. It fails when Book is missing or a template is broken.
func New(cfg Config) (*Pages, error) {
	if cfg.Book == nil {
		return nil, errors.New("pages: Config.Book is missing")
	}
	cfg = cfg.withDefaults()
	w := words.English()
	render, err := newRenderer(w)
	if err != nil {
		return nil, err
	}
	kept, err := otter.New(&otter.Options[string, *reply]{
		MaximumWeight: uint64(max(cfg.CacheBytes, 1)), // with 1 nothing is light enough to stay
		Weigher:       func(key string, r *reply) uint32 { return uint32(len(key) + r.weight()) },
	})
	if err != nil {
		return nil, err
	}
	p := &Pages{cfg: cfg, words: w, render: render, kept: kept}
	p.docs = sync.OnceValues(func() (*docs.Contract, error) { return docs.Read(cfg.Contract) })
	p.route()
	return p, nil
}

// CachedBytes is about what the kept answers take.
func (p *Pages) CachedBytes() uint64 { return p.kept.WeightedSize() }

// current is the core as of the present book, nil before the first one. What was kept
// of an older book is let go.
func (p *Pages) current() *edition {
	book := p.cfg.Book()
	if book == nil {
		return nil
	}
	if e := p.edition.Load(); e != nil && e.book == book {
		return e
	}
	p.swap.Lock()
	defer p.swap.Unlock()
	if e := p.edition.Load(); e != nil && e.book == book {
		return e
	}
	e := &edition{book, answers.NewDesk(book)}
	p.edition.Store(e)
	p.kept.InvalidateAll()
	return e
}

// maxURI is the longest address in bytes that is answered.
const maxURI = 4096

// ServeHTTP answers from what is kept, else makes the answer and keeps it.
func (p *Pages) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	if r.Method != http.MethodGet && r.Method != http.MethodHead {
		w.Header().Set("Allow", "GET, HEAD")
		http.Error(w, "Pages are only read.", http.StatusMethodNotAllowed)
		return
	}
	uri := r.URL.RequestURI()
	if len(uri) > maxURI {
		http.Error(w, "The address is too long.", http.StatusRequestURITooLong)
		return
	}
	e := p.current()
	key := p.origin(r) + " " + uri + variant(r)
	if kept, ok := p.kept.GetIfPresent(key); ok && e != nil {
		kept.write(w, r)
		return
	}
	answer := p.answer(e, r)
	if e != nil && answer.keep && p.edition.Load() == e {
		p.kept.Set(key, answer)
	}
	answer.write(w, r)
}

// answer makes an answer anew.
func (p *Pages) answer(e *edition, r *http.Request) *reply {
	in := &request{Pages: p, origin: p.origin(r), path: r.URL.Path, query: r.URL.Query(), accept: r.Header.Get("Accept")}
	if e != nil {
		in.Answers = e.answers
	}
	var out capture
	p.routes.ServeHTTP(&out, r.WithContext(withRequest(r.Context(), in)))
	if out.reply == nil { // the mux redirects paths that are not clean, and knows no others
		return in.missing()
	}
	return out.reply
}

// variant tells apart answers that differ by more than the address.
func variant(r *http.Request) string {
	if strings.HasPrefix(r.Header.Get("Accept"), markdownType) {
		return " markdown"
	}
	return ""
}

// soundHost reports whether a Host may stand in a link: letters, digits, dots, hyphens,
// colons and the brackets of an address.
func soundHost(host string) bool {
	for _, c := range []byte(host) {
		switch {
		case 'a' <= c && c <= 'z', 'A' <= c && c <= 'Z', '0' <= c && c <= '9', c == '.', c == '-', c == ':', c == '[', c == ']':
		default:
			return false
		}
	}
	return host != "" && len(host) <= maxHost
}

// maxHost is the longest name of a host with its port.
const maxHost = 259

// origin is scheme and host of links outside: as configured, else as asked.
func (p *Pages) origin(r *http.Request) string {
	if p.cfg.PublicURL != "" {
		return strings.TrimSuffix(p.cfg.PublicURL, "/")
	}
	scheme := "http://"
	if r.TLS != nil {
		scheme = "https://"
	}
	if !soundHost(r.Host) {
		return scheme + "localhost"
	}
	return scheme + r.Host
}
