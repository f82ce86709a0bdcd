package records

import (
	"context"
	"net/url"
	"strconv"
	"time"

	"commensal/api/gen"
	"commensal/api/lists"
	"commensal/api/respond"
	"commensal/api/transact"
	"commensal/api/wire"
	"commensal/internal/store"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"
)

// Record judges a list and stores what was asked and answered. tank is the stored tank, if it
// is one.
func (s *Records) Record(c echo.Context, q *lists.Question, ref *string, tank *uuid.UUID) (*respond.Reply, error) {
	made, err := s.recordOf(c.Request().Context(), q)
	if err != nil {
		return nil, err
	}
	made.Key, made.ExternalRef, made.Tank = transact.Who(c).Key, ref, tank
	return transact.Write(c, s.store, func(tx *store.Tx) (*respond.Reply, error) {
		if wire.Value(q.Asked.ExternalRefUnique) && ref != nil {
			if err := tx.ClaimRef(c.Request().Context(), *ref); err != nil {
				return nil, err
			}
		}
		made, err := tx.Last().RecordCheck(c.Request().Context(), made)
		if err != nil {
			return nil, err
		}
		return laidOut(&made, q.Short(), q.Text, respond.CheckPath(made.ID))
	})
}

// recordOf judges a list and puts what is to be stored of that together.
func (s *Records) recordOf(ctx context.Context, q *lists.Question) (c store.CheckRecord, err error) {
	answer, err := q.Answer(ctx, s.desk)
	if err != nil {
		return c, err
	}
	c = store.CheckRecord{Decision: string(answer.Decision), Summary: answer.Summary, Revision: answer.CatalogueRevision,
		Model: answer.ModelVersion, Program: s.books.Version}
	if c.Input, err = respond.EncodeJSON(understood(q)); err != nil {
		return c, err
	}
	c.Answer, err = respond.EncodeJSON(answer)
	return c, err
}

// GetCheck answers with a record.
func (s *Records) GetCheck(c echo.Context, checkID string, p gen.GetCheckParams) error {
	record, err := s.recorded(c, checkID)
	if err != nil {
		return err
	}
	return respond.To(c).Send(laidOut(&record, wire.Value(p.Detail) == gen.Brief, respond.PrefersText(c.Request()), ""))
}

// recorded reads a record.
func (s *Records) recorded(c echo.Context, text string) (record store.CheckRecord, err error) {
	id, err := respond.ParseID(text)
	if err != nil {
		return record, respond.StoreFault(err)
	}
	err = transact.Read(c, s.store, func(tx *store.Tx) (err error) {
		record, err = tx.Check(c.Request().Context(), id)
		return err
	})
	return record, err
}

// ListChecks lists the organization's records.
func (s *Records) ListChecks(c echo.Context, p gen.ListChecksParams) error {
	ctx := c.Request().Context()
	whose := transact.Who(c).Organization
	filter, err := checkFilter(&gen.ExportChecksParams{Decision: p.Decision, ExternalRef: p.ExternalRef, Overridden: p.Overridden, Outcome: p.Outcome, Since: p.Since, Until: p.Until})
	if err != nil {
		return err
	}
	k, err := respond.NewKeyset(whose, "/v1/checks", filterValues(&filter), p.Limit, p.Cursor)
	if err != nil {
		return err
	}
	before, id, err := k.BeforeMoment()
	if err != nil {
		return err
	}
	var list []store.CheckRecord
	err = transact.ReadAnywhere(c, s.store, func(tx *store.Tx) (err error) {
		list, err = tx.Checks(ctx, filter, before, id, k.Limit+1)
		return err
	})
	if err != nil {
		return err
	}
	list, next, link := respond.Cut(&k, whose, list, func(c *store.CheckRecord) string { return respond.MomentPlace(c.DecidedAt, c.ID) })
	return respond.To(c).Send(respond.Listed(gen.ChecksPage{Checks: wire.Mapped(list, recordedWire), Next: next}, link))
}

// checkFilter reads the filters that list and export share.
func checkFilter(p *gen.ExportChecksParams) (f store.CheckFilter, err error) {
	f = store.CheckFilter{ExternalRef: p.ExternalRef, Since: wire.Begin(p.Since), Until: wire.End(p.Until)}
	if p.Decision != nil {
		f.Decision = wire.Optional(string(*p.Decision))
	}
	if p.Overridden != nil {
		only := *p.Overridden == gen.OverriddenTrue
		f.Overridden = &only
	}
	if p.Outcome != nil {
		f.Outcome = wire.Optional(string(*p.Outcome))
	}
	if f.Since != nil && f.Until != nil && !f.Since.Before(*f.Until) {
		detail := "until is not after since: nothing lies between."
		err = &respond.Fault{Slug: respond.ImpossibleValue, Detail: detail, Entries: respond.Fields(respond.AtQuery("until", detail, "name a later moment"))}
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
	if f.Overridden != nil {
		out.Set("overridden", strconv.FormatBool(*f.Overridden))
	}
	set("outcome", f.Outcome)
	set("since", momentText(f.Since))
	set("until", momentText(f.Until))
	return out
}

func momentText(at *time.Time) *string {
	if at == nil {
		return nil
	}
	return wire.Optional(at.UTC().Format(time.RFC3339Nano))
}
