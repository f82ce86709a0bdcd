package records

import (
	"context"
	"io"
	"net/http"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/transact"
	"commensal/internal/store"

	"github.com/labstack/echo/v4"
)

const linesType = "application/x-ndjson"

var errExportsFull = &respond.Fault{Slug: respond.TooManyRequests, Detail: "As many exports are under way as may be; wait for one to end.",
	Header: map[string]string{"Retry-After": "10"}}

// ExportChecks streams the organization's records, one on each line.
func (s *Records) ExportChecks(c echo.Context, p gen.ExportChecksParams) error {
	filter, err := checkFilter(p.Decision, p.ExternalRef, p.Since, p.Until)
	if err != nil {
		return err
	}
	if s.store == nil {
		return respond.ErrDatabaseAway
	}
	out := &respond.Reply{Status: http.StatusOK, Media: linesType, Caching: respond.NoStore}
	out.Stream = func(w io.Writer) error {
		if c.Request().Method == http.MethodHead {
			return nil
		}
		return s.export(c, filter, w)
	}
	return respond.To(c).Send(out, nil)
}

func (s *Records) export(c echo.Context, filter store.CheckFilter, w io.Writer) error {
	ctx, end, ok := s.exports.begin(c.Request().Context(), transact.Who(c).Organization)
	if !ok {
		return errExportsFull
	}
	defer end()
	if stream, ok := w.(respond.Cutter); ok { // so that a reader that has stopped reading gives its place back
		defer context.AfterFunc(ctx, stream.Cut)()
	}
	sent := 0
	err := s.store.ExportChecks(ctx, transact.Who(c).Organization, filter, func(c store.CheckRecord) error {
		line, err := recordLine(c)
		if err != nil {
			return err
		}
		sent++
		_, err = w.Write(line)
		return err
	})
	if err != nil && sent > 0 { // by its reader, as a rule; a failure of ours it sees only as a cut
		s.logger.WarnContext(ctx, "an export was cut off", "records", sent, "error", err)
	}
	return respond.StoreFault(err)
}

func recordLine(c store.CheckRecord) ([]byte, error) {
	wire, err := recordWire(c)
	if err != nil {
		return nil, err
	}
	return respond.EncodeJSON(wire)
}
