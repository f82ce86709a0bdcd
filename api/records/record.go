package records

import (
	"context"
	"net/url"
	"time"

	"commensal/api/gen"
	"commensal/api/lists"
	"commensal/api/respond"
	"commensal/api/transact"
	"commensal/api/wire"
	"commensal/internal/store"

	"github.com/google/uuid"
)

// Record judges a list and keeps what was asked and answered. tank is the stored tank, if it
// is one.
func (s *Records) Record(ctx context.Context, q *lists.Question, ref *string, tank *uuid.UUID) (*respond.Reply, error) {
	c, err := s.recordOf(ctx, q)
	if err != nil {
		return nil, err
	}
	c.Key, c.ExternalRef, c.Tank = transact.CallOf(ctx).Key, ref, tank
	return transact.Write(ctx, s.store, func(tx *store.Tx) (*respond.Reply, error) {
		c, err := tx.RecordCheck(ctx, c)
		if err != nil {
			return nil, err
		}
		return respond.CreatedThing(recordPath(c.ID), versionOfRecord(&c), recordWire, c)
	})
}

func recordPath(id uuid.UUID) string { return "/v1/checks/" + id.String() }

// versionOfRecord tells the states of a record apart: overrides are all that ever changes.
func versionOfRecord(c *store.CheckRecord) int64 { return int64(1 + len(c.Overrides)) }

// recordOf judges a list and puts what is to be kept of that together.
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
func (s *Records) GetCheck(ctx context.Context, r gen.GetCheckRequestObject) (gen.GetCheckResponseObject, error) {
	c, err := s.recorded(ctx, r.Check)
	if err != nil {
		return nil, err
	}
	return respond.Thing(versionOfRecord(&c), recordWire, c)
}

// recorded reads a record.
func (s *Records) recorded(ctx context.Context, text string) (c store.CheckRecord, err error) {
	id, err := respond.ParseID(text)
	if err != nil {
		return c, respond.StoreFault(err)
	}
	err = transact.Read(ctx, s.store, func(tx *store.Tx) (err error) {
		c, err = tx.Check(ctx, id)
		return err
	})
	return c, err
}

// ListChecks lists the organization's records.
func (s *Records) ListChecks(ctx context.Context, r gen.ListChecksRequestObject) (gen.ListChecksResponseObject, error) {
	p, whose := &r.Params, transact.CallOf(ctx).Organization
	filter, err := checkFilter(p.Decision, p.ExternalRef, p.Since, p.Until)
	if err != nil {
		return nil, err
	}
	k, err := respond.NewKeyset(whose, "/v1/checks", filterValues(&filter), p.Limit, p.Cursor)
	if err != nil {
		return nil, err
	}
	before, id, err := k.BeforeMoment()
	if err != nil {
		return nil, err
	}
	var list []store.CheckRecord
	err = transact.Read(ctx, s.store, func(tx *store.Tx) (err error) {
		list, err = tx.Checks(ctx, filter, before, id, k.Limit+1)
		return err
	})
	if err != nil {
		return nil, err
	}
	list, next, link := respond.Cut(&k, whose, list, func(c *store.CheckRecord) string { return respond.MomentPlace(c.DecidedAt, c.ID) })
	return respond.Listed(gen.ChecksPage{Checks: wire.Mapped(list, recordedWire), Next: next}, link)
}

// checkFilter reads the filters that list and export share.
func checkFilter(decision *gen.Decision, ref *string, since, until *time.Time) (f store.CheckFilter, err error) {
	f = store.CheckFilter{ExternalRef: ref, Since: since, Until: until}
	if decision != nil {
		f.Decision = wire.Optional(string(*decision))
	}
	if since != nil && until != nil && !since.Before(*until) {
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
