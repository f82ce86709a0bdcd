package middleware

import (
	"log/slog"

	"commensal/api/respond"

	"github.com/labstack/echo/v4"
)

// WriteProblems is the one writer of problems. What the client is not told is logged
// here, once.
func WriteProblems(logger *slog.Logger) echo.HTTPErrorHandler {
	return func(err error, c echo.Context) {
		f, told := respond.FaultOf(err, c)
		id := identityOf(c)
		if !told {
			logger.LogAttrs(c.Request().Context(), errorLevel, "request failed", failure(err, c, id)...)
		}
		if !c.Response().Committed {
			f.Write(c.Response(), id.request)
		}
	}
}
