package respond

import (
	"net/http"

	"github.com/labstack/echo/v4"
)

// Sender sends the answer to one request.
type Sender struct{ echo.Context }

// To answers a request.
func To(c echo.Context) Sender { return Sender{c} }

// Send sends what a handler came to. An answer that the client still has is replaced by 304, before its
// body is made. The error of a handler is left to whoever makes problems of errors.
func (s Sender) Send(answer *Reply, err error) error {
	if err != nil {
		return err
	}
	r := s.Request()
	reading := r.Method == http.MethodGet || r.Method == http.MethodHead
	if reading && answer.ETag != "" {
		if fields := r.Header["If-None-Match"]; len(fields) > 0 && matchesTag(fields, answer.ETag) {
			answer = answer.notModified()
		}
	}
	return answer.Write(s.Response())
}
