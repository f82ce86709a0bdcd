package transact

import (
	"commensal/internal/auth"

	"github.com/labstack/echo/v4"
)

// whoKey is where a request's context of echo holds who asks.
const whoKey = "commensal.who"

// Who is whose key the request carries; nil where that is not known, as on operations for everybody.
func Who(c echo.Context) *auth.Principal {
	who, _ := c.Get(whoKey).(*auth.Principal)
	return who
}

// SetWho tells all that comes later who asks.
func SetWho(c echo.Context, who *auth.Principal) { c.Set(whoKey, who) }
