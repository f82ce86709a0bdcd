package middleware

import (
	"commensal/api/work"

	"github.com/labstack/echo/v4"
)

const accountKey = "commensal.account"

// OpenAccount lets an operation that is dear say what it cost: the limits, the access log and
// the metrics are told.
func OpenAccount(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		account := work.Open()
		c.Set(accountKey, account)
		r := c.Request()
		c.SetRequest(r.WithContext(work.With(r.Context(), account)))
		defer account.Rise()
		c.Response().Before(account.Rise) // how fast the answer is taken is the client's doing
		return next(c)
	}
}

// accountOf is what a request cost; nil where it is a cheap one.
func accountOf(c echo.Context) *work.Account {
	account, _ := c.Get(accountKey).(*work.Account)
	return account
}
