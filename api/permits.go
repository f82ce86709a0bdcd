package api

import (
	"slices"

	"commensal/api/gen"
	"commensal/api/validate"
	"commensal/internal/auth"

	"github.com/labstack/echo/v4"
)

// permitsRecord lets a check be recorded only with a key for that, and tells the handler on whose
// behalf. A check that is not to be recorded needs none.
func (s *Server) permitsRecord(c echo.Context, body *validate.Sent) error {
	if !body.Says("record") {
		return nil
	}
	if wanted, _ := body.Fields()["record"].(bool); !wanted {
		return nil
	}
	return s.guard.Permit(c, auth.ChecksWrite)
}

// permitsStoredTanks lets stored tanks be named only with a key that may read them, and placements be kept only with
// one that may change tanks.
func (s *Server) permitsStoredTanks(c echo.Context, body *validate.Sent) error {
	if !body.Says("store") && !body.Says("id") {
		return nil
	}
	if wanted, _ := body.Fields()["store"].(bool); wanted {
		if err := s.guard.Permit(c, auth.TanksWrite); err != nil {
			return err
		}
	}
	for _, tank := range validate.AsList(body.Fields()["tanks"]) {
		if _, named := validate.AsMap(tank)["id"]; named {
			return s.guard.Permit(c, auth.TanksRead)
		}
	}
	return nil
}

// every is permitted what each of some permits.
func every(list ...func(echo.Context, *validate.Sent) error) func(echo.Context, *validate.Sent) error {
	return func(c echo.Context, body *validate.Sent) error {
		for _, permits := range list {
			if err := permits(c, body); err != nil {
				return err
			}
		}
		return nil
	}
}

// permitsArticles lets a request with a key name articles only where the key may read the stock. Without a key the
// handler says what is missing, line by line.
func (s *Server) permitsArticles(c echo.Context, body *validate.Sent) error {
	if !sendsKey(c) || !body.Says("article") || !namesArticle(body.Value()) {
		return nil
	}
	return s.guard.Permit(c, auth.StockRead)
}

// sendsKey reports whether a request has a key, good or not.
func sendsKey(c echo.Context) bool { return c.Request().Header.Get("Authorization") != "" }

// namesArticle reports whether a line of a body names an article: the body itself, or one in any list of it.
func namesArticle(body any) bool {
	fields := validate.AsMap(body)
	if fields["article"] != nil {
		return true
	}
	for _, list := range [...]string{"residents", "incoming", "tanks"} {
		if slices.ContainsFunc(validate.AsList(fields[list]), namesArticle) {
			return true
		}
	}
	return false
}

// permitsOffers finds out who asks where a check wants offers: with a key they come from the stock.
func (s *Server) permitsOffers(c echo.Context, body *validate.Sent) error {
	if !body.Says("offers") {
		return nil
	}
	fields := body.Fields()
	if n, _ := fields["offers"].(float64); n == 0 {
		return nil
	}
	return s.permitsStock(c, fields["offer_from"])
}

// permitsStockOfAdditions finds out who asks where additions may come from the stock.
func (s *Server) permitsStockOfAdditions(c echo.Context, body *validate.Sent) error {
	if !body.Says("in_stock") && !body.Says("offer_from") {
		return s.permitsStock(c, nil)
	}
	fields := body.Fields()
	if fields["in_stock"] != nil {
		return nil
	}
	return s.permitsStock(c, fields["offer_from"])
}

// permitsStock lets the stock be asked for only with a key that may read it. Where it is not asked for, a key that is not
// accepted is none.
func (s *Server) permitsStock(c echo.Context, from any) error {
	switch from {
	case string(gen.OfferStock):
		return s.guard.Permit(c, auth.StockRead)
	case string(gen.OfferCatalogue):
		return nil
	}
	if sendsKey(c) {
		return s.guard.Recognise(func(echo.Context) error { return nil })(c)
	}
	return nil
}
