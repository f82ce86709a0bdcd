package records

import (
	"encoding/json"
	"fmt"
	"net/http"

	"commensal/api/gen"
	"commensal/api/lists"
	"commensal/api/respond"
	"commensal/api/wire"
	"commensal/internal/slip"
	"commensal/internal/store"

	"github.com/google/uuid"
)

// recordWire is a whole record; input and answer go out to the letter.
func recordWire(c store.CheckRecord) (gen.CheckRecord, error) {
	head := recordedWire(c)
	return gen.CheckRecord{
		Id: head.Id, DecidedAt: head.DecidedAt, Key: head.Key, ExternalRef: head.ExternalRef, Tank: head.Tank,
		Decision: head.Decision, Summary: head.Summary, CatalogueRevision: head.CatalogueRevision, ModelVersion: head.ModelVersion,
		ProgramVersion: head.ProgramVersion, Overrides: head.Overrides, Input: c.Input, Answer: c.Answer,
		Outcome: head.Outcome, OutcomeReason: head.OutcomeReason, OutcomeAt: head.OutcomeAt, OutcomeKey: head.OutcomeKey,
	}, nil
}

// recordedWire is a record without input and answer.
func recordedWire(c store.CheckRecord) gen.RecordedCheck {
	out := gen.RecordedCheck{
		Id: c.ID.String(), DecidedAt: c.DecidedAt.UTC(), Key: c.Key, ExternalRef: c.ExternalRef, Tank: idText(c.Tank),
		Decision: gen.Decision(c.Decision), Summary: c.Summary, CatalogueRevision: c.Revision, ModelVersion: c.Model,
		ProgramVersion: c.Program, Overrides: wire.Mapped(c.Overrides, overrideWire),
	}
	if n := c.Noted; n != nil && n.Outcome != nil {
		out.Outcome, out.OutcomeReason = wire.Present(gen.CheckOutcome(*n.Outcome)), n.Reason
		out.OutcomeAt, out.OutcomeKey = wire.Present(n.NotedAt.UTC()), &n.Key
	}
	return out
}

// briefWire is a record with its answer in brief.
func briefWire(c store.CheckRecord) (out gen.BriefRecord, err error) {
	var answer gen.Check
	if err := json.Unmarshal(c.Answer, &answer); err != nil {
		return out, fmt.Errorf("api: the answer of record %v: %w", c.ID, err)
	}
	head := recordedWire(c)
	return gen.BriefRecord{
		Id: head.Id, DecidedAt: head.DecidedAt, Key: head.Key, ExternalRef: head.ExternalRef, Tank: head.Tank, Decision: head.Decision,
		ProgramVersion: head.ProgramVersion, Overrides: head.Overrides, Answer: lists.BriefOf(&answer),
		Outcome: head.Outcome, OutcomeReason: head.OutcomeReason, OutcomeAt: head.OutcomeAt, OutcomeKey: head.OutcomeKey,
	}, nil
}

// laidOut answers with a record in full, in brief, or on a slip; at is its path where it was just made.
func laidOut(c *store.CheckRecord, brief, text bool, at string) (answer *respond.Reply, err error) {
	switch {
	case text:
		var short gen.BriefRecord
		if short, err = briefWire(*c); err == nil {
			answer = respond.Text(slip.Record(&short, slip.Columns))
			answer.ETag, answer.Caching = respond.VersionTag(c.Version()), respond.Revalidate
		}
	case brief:
		answer, err = respond.Thing(c.Version(), briefWire, *c)
	default:
		answer, err = respond.Thing(c.Version(), recordWire, *c)
	}
	if err != nil {
		return nil, err
	}
	answer.Vary = "Accept"
	if at != "" {
		answer.Status, answer.Location, answer.Caching = http.StatusCreated, at, respond.NoStore
	}
	return answer, nil
}

func overrideWire(o store.Override) gen.Override {
	return gen.Override{Number: o.Number, MadeAt: o.MadeAt.UTC(), Key: o.Key, Reason: o.Reason, StaffRef: o.StaffRef}
}

// idText is an id that may be absent.
func idText(id *uuid.UUID) *string {
	if id == nil {
		return nil
	}
	return wire.Optional(id.String())
}
