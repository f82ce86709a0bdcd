package records

import (
	"context"
	"io"
	"net/http"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/transact"
	"commensal/api/validate"
	"commensal/internal/store"

	"github.com/labstack/echo/v4"
)

var errExportsFull = &respond.Fault{Slug: respond.TooManyRequests, Detail: "As many exports are under way as may be; wait for one to end.",
	Header: map[string]string{"Retry-After": "10"}}

// exporter writes records in one of the formats. end is called behind the last one, also where there is none.
type exporter struct {
	each func(store.CheckRecord) error
	end  func() error
}

// ExportChecks streams the organization's records, one on each line or row.
func (s *Records) ExportChecks(c echo.Context, p gen.ExportChecksParams) error {
	filter, err := checkFilter(&p)
	if err != nil {
		return err
	}
	if s.store == nil {
		return respond.ErrDatabaseAway
	}
	out := &respond.Reply{Status: http.StatusOK, Media: validate.LinesMedia, Caching: respond.NoStore, Vary: "Accept"}
	write := linesWriter
	if respond.PrefersRows(c.Request()) {
		out.Media, write = respond.RowsType, rowsWriter
	}
	out.Stream = func(w io.Writer) error {
		if c.Request().Method == http.MethodHead {
			return nil
		}
		return s.export(c, filter, w, write(w))
	}
	return respond.To(c).Send(out, nil)
}

func (s *Records) export(c echo.Context, filter store.CheckFilter, w io.Writer, to exporter) error {
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
		sent++
		return to.each(c)
	})
	if err == nil {
		err = to.end()
	}
	if err != nil && sent > 0 { // by its reader, as a rule; a failure of ours it sees only as a cut
		s.logger.WarnContext(ctx, "an export was cut off", "records", sent, "error", err)
	}
	return respond.StoreFault(err)
}

// linesWriter writes each record as JSON on a line of its own.
func linesWriter(w io.Writer) exporter {
	return exporter{
		each: func(c store.CheckRecord) error {
			wire, err := recordWire(c)
			if err != nil {
				return err
			}
			line, err := respond.EncodeJSON(wire)
			if err != nil {
				return err
			}
			_, err = w.Write(line)
			return err
		},
		end: func() error { return nil },
	}
}
