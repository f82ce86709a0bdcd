package records

import (
	"strings"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/transact"
	"commensal/api/validate"
	"commensal/api/wire"
	"commensal/internal/store"

	"github.com/labstack/echo/v4"
)

// PatchCheck notes what became of a recorded check.
func (s *Records) PatchCheck(c echo.Context, checkID string, p gen.PatchCheckParams) error {
	in, err := validate.Body[gen.MergePatch](c)
	if err != nil {
		return err
	}
	id, match, err := respond.Precondition(checkID, p.IfMatch)
	if err != nil {
		return err
	}
	return respond.To(c).Send(transact.Write(c, s.store, func(tx *store.Tx) (*respond.Reply, error) {
		record, err := tx.NoteOutcome(c.Request().Context(), id, match, transact.Who(c).Key, func(old store.CheckOutcome) (store.CheckOutcome, error) {
			return s.noted(old, *in)
		})
		if err != nil {
			return nil, err
		}
		return respond.Thing(record.Version(), headWire, record)
	}))
}

func headWire(c store.CheckRecord) (gen.RecordedCheck, error) { return recordedWire(c), nil }

// noted is what a patch makes of what was noted before. A reason belongs to the outcome that it was given for.
func (s *Records) noted(old store.CheckOutcome, patch gen.MergePatch) (now store.CheckOutcome, err error) {
	before := gen.CheckNote{OutcomeReason: old.Reason}
	if old.Outcome != nil {
		before.Outcome = wire.Present(gen.CheckOutcome(*old.Outcome))
	}
	var note gen.CheckNote
	if err := s.contract.PatchTo(before, patch, "CheckNote", &note); err != nil {
		return now, err
	}
	if wire.Value(note.Outcome) != wire.Value(before.Outcome) && !validate.Names(patch, "outcome_reason") {
		note.OutcomeReason = nil
	}
	r := wire.NewBody(nil)
	r.OneLine("/outcome_reason", note.OutcomeReason)
	if note.OutcomeReason != nil && note.Outcome == nil {
		r.Impossible("/outcome_reason", "/outcome_reason is about an outcome, and there is none.", "add outcome, or leave the reason out")
	}
	if note.Outcome != nil {
		now.Outcome = wire.Optional(string(*note.Outcome))
	}
	if note.OutcomeReason != nil {
		now.Reason = wire.Optional(strings.TrimSpace(*note.OutcomeReason))
	}
	return now, r.Err()
}
