package stock

import (
	"commensal/api/gen"
	"commensal/api/lists"
	"commensal/api/middleware"
	"commensal/api/respond"
	"commensal/api/transact"
	"commensal/internal/auth"
	"commensal/internal/species"

	"github.com/labstack/echo/v4"
)

var _ lists.Shelf = (*Stock)(nil)

// Keyed reports whether the request has a key that may read the stock.
func (s *Stock) Keyed(c echo.Context) bool {
	who := transact.Who(c)
	return who != nil && who.May(auth.StockRead)
}

// ArticlesOf are what articles are, in words as a line has them, by number.
func (s *Stock) ArticlesOf(c echo.Context, numbers []string) (map[string]string, error) {
	if s.store == nil {
		return nil, respond.ErrDatabaseAway
	}
	list, err := s.store.ArticlesOf(c.Request().Context(), transact.Who(c).Organization, numbers)
	if err != nil {
		return nil, respond.StoreFault(err)
	}
	out := make(map[string]string, len(list))
	for i := range list {
		out[list[i].Number] = list[i].Text()
	}
	return out, nil
}

// OnOffer are the kinds in stock. Without being asked for the stock, the catalogue is offered where there is no key for it or no
// article at all, and where the database is away: whoever stands at the counter gets an answer, and it says where
// the offers come from.
func (s *Stock) OnOffer(c echo.Context, from *gen.OfferSource, classes []string) ([]lists.OnOffer, bool, error) {
	asked := from != nil && *from == gen.OfferStock
	if from != nil && !asked || !asked && !s.Keyed(c) {
		return nil, false, nil
	}
	if !s.Keyed(c) {
		return nil, false, middleware.NotPermitted([]auth.Scope{auth.StockRead})
	}
	if s.store == nil {
		return nil, false, respond.ErrDatabaseAway
	}
	list, any, err := s.store.OnOffer(c.Request().Context(), transact.Who(c).Organization, classes)
	switch {
	case err != nil && asked:
		return nil, false, respond.StoreFault(err)
	case err != nil || !any && !asked:
		return nil, false, nil
	}
	out := make([]lists.OnOffer, len(list))
	for i, o := range list {
		out[i] = lists.OnOffer{Species: species.ID(o.Species), Article: o.Number, Name: o.Name, PriceClass: o.PriceClass}
	}
	return out, true, nil
}
