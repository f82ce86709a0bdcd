package api

import (
	"context"
	"strings"
	"time"

	"commensal/api/gen"
	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/store"

	"github.com/google/uuid"
)

// CreateReading adds a reading of a tank's water.
func (s *Server) CreateReading(ctx context.Context, r gen.CreateReadingRequestObject) (gen.CreateReadingResponseObject, error) {
	reading, err := s.readReading(r.Body)
	if err != nil {
		return nil, err
	}
	tank, err := idOf(r.Tank)
	if err != nil {
		return nil, storeFault(err)
	}
	return s.write(ctx, func(tx *store.Tx) (*reply, error) {
		added, err := tx.AddReading(ctx, tank, reading)
		if err != nil {
			return nil, err
		}
		return made("", readingWire(added))
	})
}

// firstReading is the earliest moment that a reading may be of.
var firstReading = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

// clockSkew is how far the clock of a sensor may be ahead.
const clockSkew = 5 * time.Minute

func (s *Server) readReading(in *gen.NewReading) (store.Reading, error) {
	r := newListReader(nil)
	out := store.Reading{TakenAt: s.cfg.Now()}
	if in.TakenAt != nil {
		out.TakenAt = *in.TakenAt
	}
	if out.TakenAt.Before(firstReading) || out.TakenAt.After(s.cfg.Now().Add(clockSkew)) {
		r.impossible("/taken_at", "/taken_at is before 2000 or in the future.", "write when the reading was taken")
	}
	said := false
	for w, raw := range [...]*gen.Quantity{in.TemperatureC, in.Ph, in.GhDh, in.SalinityPpt} {
		if raw != nil {
			x := r.quantity("", string(waterParameters[w].name), raw, waterParameters[w].quantity)
			out.Values[w], said = &x, true
		}
	}
	if !said {
		r.impossible("", "The reading has no value.", "give temperature_c, ph, gh_dh or salinity_ppt")
	}
	return out, r.err()
}

// ListReadings lists the readings of a tank.
func (s *Server) ListReadings(ctx context.Context, r gen.ListReadingsRequestObject) (gen.ListReadingsResponseObject, error) {
	whose := callOf(ctx).Organization
	tank, err := idOf(r.Tank)
	if err != nil {
		return nil, storeFault(err)
	}
	k, err := newKeyset(whose, "/v1/tanks/"+r.Tank+"/readings", nil, r.Params.Limit, r.Params.Cursor)
	if err != nil {
		return nil, err
	}
	before, id, err := k.beforeMoment()
	if err != nil {
		return nil, err
	}
	var list []store.Reading
	err = s.read(ctx, func(tx *store.Tx) (err error) {
		list, err = tx.Readings(ctx, tank, before, id, k.limit+1)
		return err
	})
	if err != nil {
		return nil, err
	}
	list, next, link := cut(&k, whose, list, func(r *store.Reading) string {
		return momentPlace(r.TakenAt, r.ID)
	})
	return listed(gen.ReadingsPage{Readings: mapped(list, readingWire), Next: next}, link)
}

// farAhead is behind everything that can be stored.
var farAhead = time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC)

// momentPlace is the place of an entry in a list that is in order of time.
func momentPlace(at time.Time, id uuid.UUID) string {
	return at.UTC().Format(time.RFC3339Nano) + " " + id.String()
}

// beforeMoment is the place as a moment and an id.
func (k *keyset) beforeMoment() (at time.Time, id uuid.UUID, err error) {
	if k.after == "" {
		return farAhead, uuid.Max, nil
	}
	moment, text, _ := strings.Cut(k.after, " ")
	if at, err = time.Parse(time.RFC3339Nano, moment); err == nil {
		id, err = idOf(text)
	}
	if err != nil {
		err = badCursor("The cursor is damaged.")
	}
	return at, id, err
}

// swingsOf is what the readings spanned of late.
func swingsOf(w *store.Water) (s stocking.Swings) {
	s.Days = store.SwingDays
	for p := range s.Of {
		if low, high := w.Lowest[p], w.Highest[p]; low != nil && high != nil {
			s.Of[p] = stocking.Swing{Low: *low, High: *high, Known: true}
		}
	}
	return s
}

// latestReadings puts what was measured last in the place of what was said of a tank.
func latestReadings(in *gen.TankInput, w *store.Water) {
	for p, at := range [species.NumParameters]**gen.Quantity{&in.TemperatureC, &in.Ph, &in.GhDh, &in.SalinityPpt} {
		if w.Latest[p] != nil {
			text := gen.Quantity(plain(*w.Latest[p]))
			*at = &text
		}
	}
}
