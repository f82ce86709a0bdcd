package records

import (
	"strings"
	"unicode/utf8"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/transact"
	"commensal/api/validate"
	"commensal/api/wire"
	"commensal/internal/store"

	"github.com/labstack/echo/v4"
)

// minReason is the shortest reason, in characters without the blanks around it.
const minReason = 3

// OverrideCheck adds to a record on hold that it may pass, and why.
func (s *Records) OverrideCheck(c echo.Context, checkID string, p gen.OverrideCheckParams) error {
	ctx := c.Request().Context()
	in, err := validate.Body[gen.NewOverride](c)
	if err != nil {
		return err
	}
	o, err := readOverride(in)
	if err != nil {
		return err
	}
	id, err := respond.ParseID(checkID)
	if err != nil {
		return respond.StoreFault(err)
	}
	o.Key = transact.Who(c).Key
	return respond.To(c).Send(transact.Write(c, s.store, func(tx *store.Tx) (*respond.Reply, error) {
		o, err := tx.AddOverride(ctx, id, o)
		if err != nil {
			return nil, err
		}
		return respond.Created(respond.CheckPath(id), overrideWire(o))
	}))
}

func readOverride(in *gen.NewOverride) (store.Override, error) {
	r := wire.NewBody(nil)
	o := store.Override{Reason: strings.TrimSpace(in.Reason), StaffRef: in.StaffRef}
	r.OneLine("/reason", &in.Reason)
	r.OneLine("/staff_ref", in.StaffRef)
	if n := utf8.RuneCountInString(o.Reason); n > 0 && n < minReason {
		r.Impossible("/reason", "/reason is too short to be one.", "say in a sentence why it may pass")
	}
	return o, r.Err()
}
