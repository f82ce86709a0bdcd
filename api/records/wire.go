package records

import (
	"commensal/api/gen"
	"commensal/api/wire"
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
	}, nil
}

// recordedWire is a record without input and answer.
func recordedWire(c store.CheckRecord) gen.RecordedCheck {
	return gen.RecordedCheck{
		Id: c.ID.String(), DecidedAt: c.DecidedAt.UTC(), Key: c.Key, ExternalRef: c.ExternalRef, Tank: idText(c.Tank),
		Decision: gen.Decision(c.Decision), Summary: c.Summary, CatalogueRevision: c.Revision, ModelVersion: c.Model,
		ProgramVersion: c.Program, Overrides: wire.Mapped(c.Overrides, overrideWire),
	}
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
