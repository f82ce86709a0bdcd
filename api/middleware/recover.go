package middleware

import (
	"fmt"
	"net/http"
	"runtime/debug"

	"github.com/labstack/echo/v4"
)

// panicError is a panic as an error, with where it happened.
type panicError struct {
	value any
	stack []byte
}

// Error is the value of the panic.
func (p *panicError) Error() string { return fmt.Sprintf("panic: %v", p.value) }

// panicked is what was recovered from a panic as an error. [http.ErrAbortHandler] goes on as a panic: it is
// meant to cut the connection.
func panicked(fault any) error {
	if fault == http.ErrAbortHandler {
		panic(fault)
	}
	return &panicError{fault, debug.Stack()}
}

// RecoverPanics turns a panic into an error, which becomes a bland problem and one
// line of the log. http.ErrAbortHandler cuts the connection, as it is meant to.
func RecoverPanics(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) (err error) {
		defer func() {
			if fault := recover(); fault != nil {
				err = panicked(fault)
			}
		}()
		return next(c)
	}
}
