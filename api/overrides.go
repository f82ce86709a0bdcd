package api

import (
	"context"
	"strings"
	"unicode/utf8"

	"commensal/api/gen"
	"commensal/internal/store"
)

// minReason is the shortest reason, in characters without the blanks around it.
const minReason = 3

// OverrideCheck adds to a record on hold that it may pass, and why.
func (s *Server) OverrideCheck(ctx context.Context, r gen.OverrideCheckRequestObject) (gen.OverrideCheckResponseObject, error) {
	o, err := readOverride(r.Body)
	if err != nil {
		return nil, err
	}
	id, err := idOf(r.Check)
	if err != nil {
		return nil, storeFault(err)
	}
	o.Key = callOf(ctx).Key
	return s.write(ctx, func(tx *store.Tx) (*reply, error) {
		o, err := tx.AddOverride(ctx, id, o)
		if err != nil {
			return nil, err
		}
		return made(recordPath(id), overrideWire(o))
	})
}

func readOverride(in *gen.NewOverride) (store.Override, error) {
	r := newListReader(nil)
	o := store.Override{Reason: strings.TrimSpace(in.Reason), StaffRef: in.StaffRef}
	r.oneLine("/reason", &in.Reason)
	r.oneLine("/staff_ref", in.StaffRef)
	if n := utf8.RuneCountInString(o.Reason); n > 0 && n < minReason {
		r.impossible("/reason", "/reason is too short to be one.", "say in a sentence why it may pass")
	}
	return o, r.err()
}
