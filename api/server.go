package api

import (
	"errors"
	"net/http"

	"commensal"
	"commensal/api/accounts"
	"commensal/api/curation"
	"commensal/api/gen"
	"commensal/api/lists"
	"commensal/api/lookups"
	"commensal/api/middleware"
	"commensal/api/records"
	"commensal/api/rehoming"
	"commensal/api/reports"
	"commensal/api/respond"
	"commensal/api/site"
	"commensal/api/stock"
	"commensal/api/tanks"
	"commensal/api/validate"
	"commensal/api/work"
	"commensal/internal/pages"
	"commensal/internal/store/replica"

	"github.com/labstack/echo/v4"
)

// Server answers HTTP requests. It has no state that another replica would need.
type Server struct {
	operations
	cfg     Config
	echo    *echo.Echo
	lane    *middleware.Lane // in front of echo
	metrics *middleware.Metrics
	guard   *middleware.Guard
	pages   *pages.Pages
}

// operations are all operations of the contract, each from its room.
type operations struct {
	*Health
	*site.Site
	*lookups.Lookups
	*lists.Lists
	*tanks.Tanks
	*records.Records
	*rehoming.Rehoming
	*stock.Stock
	*reports.Reports
	*accounts.Accounts
	*curation.Curation
}

var _ gen.ServerInterface = operations{}

// newOperations furnishes the rooms.
func newOperations(cfg Config, contract *validate.Contract, text []byte) operations {
	books := respond.Books{Current: cfg.Book, Version: cfg.Version}
	desk := work.NewOn(cfg.Processors, cfg.WorkLimit)
	lists := lists.New(books, desk, cfg.CacheBytes/2, cfg.Logger)
	records := records.New(books, cfg.Store, contract, desk, cfg.Logger)
	tanks := tanks.New(books, cfg.Store, contract, records, lists, cfg.Now)
	rehoming := rehoming.New(books, cfg.Store, lists, tanks, cfg.Now)
	stock := stock.New(books, cfg.Store, contract, desk)
	lists.Join(records, tanks, rehoming, stock)
	return operations{
		Health: &Health{books: books, ready: newPinger(cfg), stopping: cfg.Stopping}, Site: site.New(text),
		Lookups: lookups.New(books, cfg.Reports, cfg.CacheBytes/2), Lists: lists, Tanks: tanks, Records: records, Rehoming: rehoming, Stock: stock,
		Reports: reports.New(books, cfg.Store, cfg.Now), Accounts: accounts.New(cfg.Store, cfg.Verifier, cfg.KeyLife, cfg.Now),
		Curation: curation.New(books, cfg.Store, cfg.Published),
	}
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
	contract, err := validate.BuiltIn()
	if err != nil {
		return nil, err
	}
	s := &Server{operations: newOperations(cfg, contract, text), cfg: cfg, echo: echo.New(), guard: middleware.NewGuard(cfg.Verifier, contract.KeyedRoutes())}
	sources := middleware.Sources{Book: cfg.Book, Cached: s.cachedBytes, Stale: cfg.Stale, Desk: s.Lists.Desk()}
	if cfg.Store != nil {
		sources.Pool = func() middleware.Pool { return middleware.Pool(cfg.Store.PoolState()) }
		if _, ok := cfg.Store.ReplicaState(); ok {
			sources.Replica = func() replica.State { state, _ := cfg.Store.ReplicaState(); return state }
		}
	}
	if !cfg.WithoutPages {
		if s.pages, err = newPages(cfg, text); err != nil {
			return nil, err
		}
	}
	s.metrics = middleware.NewMetrics(sources)
	s.route(contract)
	return s, nil
}

// cachedBytes is about what the answers take that are held to be given again.
func (s *Server) cachedBytes() uint64 {
	bytes := s.Lookups.CachedBytes() + s.Lists.Cache().Bytes()
	if s.pages != nil {
		bytes += s.pages.CachedBytes()
	}
	return bytes
}

// Handler is the public handler.
func (s *Server) Handler() http.Handler { return s.lane }

// Metrics is the handler of the metrics, for a listener that the public cannot reach.
func (s *Server) Metrics() http.Handler { return s.metrics.Handler }

// route registers the middleware, outermost first, and the operations.
func (s *Server) route(contract *validate.Contract) {
	e := s.echo
	e.HideBanner, e.HidePort = true, true
	e.HTTPErrorHandler = middleware.WriteProblems(s.cfg.Logger)
	flight, quotas := middleware.NewInFlight(middleware.MaxInFlight), middleware.NewQuotas(s.guard, s.cfg.limits())
	s.lane = &middleware.Lane{Quick: s.Lookups, Tracer: s.cfg.Tracer, Metrics: s.metrics, Log: s.cfg.accessLog(), Now: s.cfg.Now,
		Flight: flight, Quotas: quotas, Stale: s.cfg.Stale, Rest: e}
	e.Use( // what is done here is done on the lane too
		middleware.Identify(),                                       // request id and trace context, in every answer
		middleware.Trace(s.cfg.Tracer),                              // where a collector is given, a span around all that follows
		middleware.Observe(s.metrics, s.cfg.accessLog(), s.cfg.Now), // the access log and the metrics see the final status
		middleware.AnswerErrors,                                     // errors become answers here
		middleware.RecoverPanics,                                    // a panic becomes an error
		middleware.AllowCrossOrigin,                                 // CORS, also on problems
		middleware.BoundInFlight(flight),                            // health is always answered
		middleware.LimitRate(quotas),                                // before any work is done
		middleware.MarkStale(s.cfg.Stale),                           // the answer may be from an older catalogue
	)
	options := gen.RegisterHandlersOptions{OperationMiddlewares: map[string][]echo.MiddlewareFunc{}}
	for _, id := range [...]string{"checkList", "rankAdditions", "splitList", "placeFish"} {
		contract.Operations[id].AlsoWrong, contract.Operations[id].Cached = s.Unresolved, s.Cached
	}
	for _, id := range [...]string{"checkList", "checkTankWithIncoming", "rankAdditions", "splitList", "placeFish", "scorePairings"} {
		contract.Operations[id].Begins = s.Lists.Desk().Sit
	}
	s.Lists.HoldLines(contract)
	for _, id := range [...]string{"createTank", "checkTankWithIncoming", "createReport"} {
		contract.Operations[id].AlsoWrong = s.Unresolved
	}
	contract.Operations["checkList"].Permits = every(s.permitsRecord, s.permitsArticles, s.permitsOffers)
	contract.Operations["checkTankWithIncoming"].Permits = every(s.permitsRecord, s.permitsArticles, s.permitsOffers)
	contract.Operations["rankAdditions"].Permits = every(s.permitsArticles, s.permitsStockOfAdditions)
	contract.Operations["placeFish"].Permits = every(s.permitsStoredTanks, s.permitsArticles)
	for _, id := range [...]string{"splitList", "createTank", "addResident", "replaceResident", "patchResident"} {
		contract.Operations[id].Permits = s.permitsArticles
	}
	for _, id := range [...]string{"checkList", "checkBatch", "rankAdditions", "splitList", "placeFish", "getCareSheet"} { // they are judged where the organization is
		options.OperationMiddlewares[id] = append(options.OperationMiddlewares[id], s.guard.Recognise)
	}
	for _, id := range [...]string{"listSpeciesRevisions", "listRevisions"} {
		options.OperationMiddlewares[id] = append(options.OperationMiddlewares[id], s.guard.Recognise)
	}
	outbox, bodies := middleware.Outbox(), middleware.BoundBodies()
	for _, id := range dear {
		options.OperationMiddlewares[id] = append(options.OperationMiddlewares[id], middleware.OpenAccount, outbox)
	}
	for id, op := range contract.Operations {
		if op.HasBody() {
			options.OperationMiddlewares[id] = append(options.OperationMiddlewares[id], bodies)
		}
		if len(op.Scopes) > 0 {
			options.OperationMiddlewares[id] = append(options.OperationMiddlewares[id], s.guard.Authorize(op.Scopes))
		}
		if op.Public() {
			options.OperationMiddlewares[id] = append(options.OperationMiddlewares[id], op.Check)
		}
	}
	gen.RegisterHandlersWithOptions(router{e}, s.operations, options)
	s.routePages()
}

// dear are the operations whose cost depends on what is asked, and that can have large answers.
var dear = [...]string{"checkList", "checkBatch", "getCareSheet", "rankAdditions", "splitList", "placeFish", "scorePairings", "rankPairings",
	"checkTank", "checkTankWithIncoming", "rankTankAdditions", "replayCheck", "getCheck", "listChecks", "replaceStock",
	"readAdopterForm", "getPlacement", "acceptPlacement"}

// router registers HEAD beside every GET.
type router struct{ *echo.Echo }

// GET registers the handler for GET and HEAD; net/http drops the body of the latter.
func (r router) GET(path string, h echo.HandlerFunc, m ...echo.MiddlewareFunc) *echo.Route {
	r.Echo.HEAD(path, h, m...)
	return r.Echo.GET(path, h, m...)
}
