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
	_, _, err = answer.Send(s.Response(), s.Request())
	return err
}

// Send sends a reply to a request, or 304 in its place where the client still has it, and returns the status and how many bytes of
// a body were sent.
func (r *Reply) Send(w http.ResponseWriter, to *http.Request) (status int, sent int64, err error) {
	if r.ETag != "" && (to.Method == http.MethodGet || to.Method == http.MethodHead) {
		if fields := to.Header["If-None-Match"]; len(fields) > 0 && matchesTag(fields, r.ETag) {
			if r.unchanged == nil {
				r = r.notModified()
			} else {
				r = r.unchanged
			}
		}
	}
	sent, err = r.write(w, to)
	return r.Status, sent, err
}
