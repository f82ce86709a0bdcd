package api

import (
	"context"
	"io"
	"net/http"

	"commensal/api/gen"
	"commensal/internal/store"
)

// maxExports is how many exports run at the same time: each holds a connection to the database for
// as long as its reader takes.
const maxExports = 2

const linesType = "application/x-ndjson"

var errExportsFull = &fault{slug: tooManyRequests, detail: "As many exports are under way as may be; wait for one to end.",
	header: map[string]string{"Retry-After": "10"}}

// ExportChecks streams the organization's records, one on each line.
func (s *Server) ExportChecks(ctx context.Context, r gen.ExportChecksRequestObject) (gen.ExportChecksResponseObject, error) {
	p := &r.Params
	filter, err := checkFilter(p.Decision, p.ExternalRef, p.Since, p.Until)
	if err != nil {
		return nil, err
	}
	if s.cfg.Store == nil {
		return nil, errDatabaseAway
	}
	out := &reply{status: http.StatusOK, media: linesType, caching: transient}
	out.stream = func(w io.Writer) error {
		if callOf(ctx).head {
			return nil
		}
		return s.export(ctx, filter, w)
	}
	return out, nil
}

func (s *Server) export(ctx context.Context, filter store.CheckFilter, w io.Writer) error {
	select {
	case s.exports <- struct{}{}:
		defer func() { <-s.exports }()
	default:
		return errExportsFull
	}
	sent := 0
	err := s.cfg.Store.ExportChecks(ctx, callOf(ctx).Organization, filter, func(c store.CheckRecord) error {
		line, err := recordLine(c)
		if err != nil {
			return err
		}
		sent++
		_, err = w.Write(line)
		return err
	})
	if err != nil && sent > 0 { // by its reader, as a rule; a failure of ours it sees only as a cut
		s.cfg.Logger.WarnContext(ctx, "an export was cut off", "records", sent, "error", err)
	}
	return storeFault(err)
}

func recordLine(c store.CheckRecord) ([]byte, error) {
	wire, err := recordWire(c)
	if err != nil {
		return nil, err
	}
	return encodeJSON(wire)
}
