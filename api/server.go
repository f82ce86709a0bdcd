package api

import (
	"errors"
	"net/http"
	"strings"
	"sync"
	"sync/atomic"

	"commensal"
	"commensal/api/gen"
	"commensal/internal/conflict"

	"github.com/labstack/echo/v4"
)

// Server answers HTTP requests. It keeps no state that another replica would need.
type Server struct {
	cfg     Config
	echo    *echo.Echo
	metrics *metrics
	site    func() (*site, error) // rendered at the first request for a page
	ready   *pinger
	shelf   atomic.Pointer[shelf]
	// contract is what requests are held against.
	contract *contract
	keyed    map[string]bool             // method and path template of the operations that need a key
	past     *lru[int64, *conflict.Book] // of older revisions, for replays
	editions *lru[contentHash, *edition]
	exports  chan struct{} // one for each export under way
}

// New makes a server. It fails when Book, or Verifier beside Store, is missing or the built-in contract cannot
// be compiled.
func New(cfg Config) (*Server, error) {
	if cfg.Book == nil {
		return nil, errors.New("api: Config.Book is missing")
	}
	if cfg.Store != nil && cfg.Verifier == nil {
		return nil, errors.New("api: Config.Store is set and Config.Verifier is missing")
	}
	cfg = cfg.withDefaults()
	text := commensal.Contract()
	contract, err := compileContract(text)
	if err != nil {
		return nil, err
	}
	s := &Server{
		cfg: cfg, echo: echo.New(), contract: contract, past: newLRU[int64, *conflict.Book](maxPast),
		editions: newLRU[contentHash, *edition](maxEditions), exports: make(chan struct{}, maxExports),
	}
	s.site = sync.OnceValues(func() (*site, error) { return newSite(text) })
	s.ready = newPinger(cfg)
	s.metrics = newMetrics(cfg.Book)
	s.route(contract)
	return s, nil
}

// Handler is the public handler.
func (s *Server) Handler() http.Handler { return s.echo }

// Metrics is the handler of the metrics, for a listener that the public cannot reach.
func (s *Server) Metrics() http.Handler { return s.metrics.handler }

// route registers the middleware, outermost first, and the operations.
func (s *Server) route(contract *contract) {
	e := s.echo
	e.HideBanner, e.HidePort = true, true
	e.HTTPErrorHandler = s.writeError
	e.Use(
		identify(),                // request id and trace context, in every answer
		observe(s.metrics, s.cfg), // the access log and the metrics see the final status
		settle,                    // errors become answers here
		recoverPanics,             // a panic becomes an error
		allowCrossOrigin,          // CORS, also on problems
		s.limitRate(),             // before any work is done
		s.markStale,               // the answer may be from an older catalogue
	)
	options := gen.RegisterHandlersOptions{OperationMiddlewares: map[string][]echo.MiddlewareFunc{}}
	for _, id := range [...]string{"postChecks", "postAdditions", "postGroupings", "postPlacements"} {
		contract.operations[id].also, contract.operations[id].kept = s.alsoNames, s.keptList
	}
	for _, id := range [...]string{"createTank", "checkTankWith", "createReport"} {
		contract.operations[id].also = s.alsoNames
	}
	for _, id := range [...]string{"postChecks", "checkTankWith"} {
		contract.operations[id].permits = s.permitsRecord
	}
	contract.operations["postPlacements"].permits = s.permitsStoredTanks
	for _, id := range [...]string{"listSpeciesRevisions", "listRevisions"} {
		options.OperationMiddlewares[id] = append(options.OperationMiddlewares[id], s.recognise)
	}
	for id, op := range contract.operations {
		if len(op.scopes) > 0 {
			options.OperationMiddlewares[id] = append(options.OperationMiddlewares[id], s.authorize(op))
		}
		if op.documents(http.StatusBadRequest) {
			options.OperationMiddlewares[id] = append(options.OperationMiddlewares[id], op.checkRequest)
		}
	}
	s.keyed = contract.keyed()
	strict := gen.NewStrictHandler(s, []gen.StrictMiddlewareFunc{answerConditionally, keepLists})
	gen.RegisterHandlersWithOptions(router{e}, strict, options)
}

// keyed lists the operations that need a key, as the router names them.
func (c *contract) keyed() map[string]bool {
	out := map[string]bool{}
	for _, op := range c.operations {
		if path := strings.NewReplacer("{", ":", "}", "").Replace(op.path); len(op.scopes) > 0 {
			out[op.method+" "+path] = true
			if op.method == http.MethodGet {
				out[http.MethodHead+" "+path] = true
			}
		}
	}
	return out
}

// router registers HEAD beside every GET.
type router struct{ *echo.Echo }

// GET registers the handler for GET and HEAD; net/http drops the body of the latter.
func (r router) GET(path string, h echo.HandlerFunc, m ...echo.MiddlewareFunc) *echo.Route {
	r.Echo.HEAD(path, h, m...)
	return r.Echo.GET(path, h, m...)
}

// shelf is a book with the answers already encoded from it. A new book starts an
// empty shelf.
type shelf struct {
	book     *conflict.Book
	pairings *lru[pairingKey, *reply]
	lists    *lru[listKey, *reply]
}

// current is the shelf of the present book.
func (s *Server) current() (*shelf, error) {
	book := s.cfg.Book()
	if book == nil {
		return nil, errNotReady
	}
	sh := s.shelf.Load()
	if sh == nil || sh.book != book {
		sh = &shelf{book: book, pairings: newLRU[pairingKey, *reply](s.cfg.CacheEntries),
			lists: newLRU[listKey, *reply](min(s.cfg.CacheEntries, maxKeptLists))}
		s.shelf.Store(sh)
	}
	return sh, nil
}
