package api

import (
	"context"
	"net/url"
	"time"

	"commensal/api/gen"
	"commensal/internal/auth"
	"commensal/internal/store"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"
)

// permitsRecord lets a check be recorded only with a key for that, and tells the handler on whose
// behalf. A check that is not to be recorded needs none.
func (s *Server) permitsRecord(c echo.Context, body any, text []byte) error {
	if wanted, _ := asMap(body)["record"].(bool); !wanted {
		return nil
	}
	return s.permit(c, auth.ChecksWrite, text)
}

// permit lets a request pass whose key has a scope, where the operation itself needs none,
// and tells the handler on whose behalf.
func (s *Server) permit(c echo.Context, scope auth.Scope, text []byte) error {
	who := callOf(c.Request().Context())
	if who == nil {
		principal, err := s.identify(c)
		if err != nil {
			return err
		}
		who = &call{Principal: principal}
		who.read(c.Request(), text)
		setCall(c, who)
	}
	if !who.May(scope) {
		return notPermitted([]auth.Scope{scope})
	}
	return nil
}

// recordRef refuses a number for a record that is not made, and one that is no line of text.
func (r *listReader) recordRef(in *gen.CheckRequest) {
	r.oneLine("/external_ref", in.ExternalRef)
	if in.ExternalRef != nil && !value(in.Record) {
		r.impossible("/external_ref", "/external_ref is for a record, and none is asked for.", "leave it out, or add record")
	}
}

// record judges a list and keeps what was asked and answered. tank is the stored tank, if it
// is one.
func (s *Server) record(ctx context.Context, q *question, ref *string, tank *uuid.UUID) (*reply, error) {
	c, err := s.recordOf(q)
	if err != nil {
		return nil, err
	}
	c.Key, c.ExternalRef, c.Tank = callOf(ctx).Key, ref, tank
	return s.write(ctx, func(tx *store.Tx) (*reply, error) {
		c, err := tx.RecordCheck(ctx, c)
		if err != nil {
			return nil, err
		}
		return madeThing(recordPath(c.ID), versionOfRecord(&c), recordWire, c)
	})
}

func recordPath(id uuid.UUID) string { return "/v1/checks/" + id.String() }

// versionOfRecord tells the states of a record apart: overrides are all that ever changes.
func versionOfRecord(c *store.CheckRecord) int64 { return int64(1 + len(c.Overrides)) }

// recordOf judges a list and puts what is to be kept of that together.
func (s *Server) recordOf(q *question) (c store.CheckRecord, err error) {
	answer, err := q.answer()
	if err != nil {
		return c, err
	}
	c = store.CheckRecord{Decision: string(answer.Decision), Summary: answer.Summary, Revision: answer.CatalogueRevision,
		Model: answer.ModelVersion, Program: s.cfg.Version}
	if c.Input, err = encodeJSON(q.understood()); err != nil {
		return c, err
	}
	c.Answer, err = encodeJSON(answer)
	return c, err
}

// GetCheck answers with a record.
func (s *Server) GetCheck(ctx context.Context, r gen.GetCheckRequestObject) (gen.GetCheckResponseObject, error) {
	c, err := s.recorded(ctx, r.Check)
	if err != nil {
		return nil, err
	}
	return thing(versionOfRecord(&c), recordWire, c)
}

// recorded reads a record.
func (s *Server) recorded(ctx context.Context, text string) (c store.CheckRecord, err error) {
	id, err := idOf(text)
	if err != nil {
		return c, storeFault(err)
	}
	err = s.read(ctx, func(tx *store.Tx) (err error) {
		c, err = tx.Check(ctx, id)
		return err
	})
	return c, err
}

// ListChecks lists the organization's records.
func (s *Server) ListChecks(ctx context.Context, r gen.ListChecksRequestObject) (gen.ListChecksResponseObject, error) {
	p, whose := &r.Params, callOf(ctx).Organization
	filter, err := checkFilter(p.Decision, p.ExternalRef, p.Since, p.Until)
	if err != nil {
		return nil, err
	}
	k, err := newKeyset(whose, "/v1/checks", filterValues(&filter), p.Limit, p.Cursor)
	if err != nil {
		return nil, err
	}
	before, id, err := k.beforeMoment()
	if err != nil {
		return nil, err
	}
	var list []store.CheckRecord
	err = s.read(ctx, func(tx *store.Tx) (err error) {
		list, err = tx.Checks(ctx, filter, before, id, k.limit+1)
		return err
	})
	if err != nil {
		return nil, err
	}
	list, next, link := cut(&k, whose, list, func(c *store.CheckRecord) string { return momentPlace(c.DecidedAt, c.ID) })
	return listed(gen.ChecksPage{Checks: mapped(list, recordedWire), Next: next}, link)
}

// checkFilter reads the filters that list and export share.
func checkFilter(decision *gen.Decision, ref *string, since, until *time.Time) (f store.CheckFilter, err error) {
	f = store.CheckFilter{ExternalRef: ref, Since: since, Until: until}
	if decision != nil {
		f.Decision = optional(string(*decision))
	}
	if since != nil && until != nil && !since.Before(*until) {
		detail := "until is not after since: nothing lies between."
		err = &fault{slug: impossibleValue, detail: detail, fields: fields(atQuery("until", detail, "name a later moment"))}
	}
	return f, err
}

// filterValues are the filters as a query has them.
func filterValues(f *store.CheckFilter) url.Values {
	out := url.Values{}
	set := func(name string, text *string) {
		if text != nil {
			out.Set(name, *text)
		}
	}
	set("decision", f.Decision)
	set("external_ref", f.ExternalRef)
	set("since", momentText(f.Since))
	set("until", momentText(f.Until))
	return out
}

func momentText(at *time.Time) *string {
	if at == nil {
		return nil
	}
	return optional(at.UTC().Format(time.RFC3339Nano))
}
