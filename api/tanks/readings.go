package tanks

import (
	"time"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/validate"
	"commensal/api/wire"
	"commensal/internal/species"
	"commensal/internal/stocking"
	"commensal/internal/store"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"
)

// AddReading adds a reading of a tank's water.
func (s *Tanks) AddReading(c echo.Context, tankID string, p gen.AddReadingParams) error {
	ctx := c.Request().Context()
	in, err := validate.Body[gen.NewReading](c)
	if err != nil {
		return err
	}
	reading, err := s.readReading(in)
	if err != nil {
		return err
	}
	return respond.To(c).Send(s.write(c, tankID, func(tx *store.Tx, tank uuid.UUID) (*respond.Reply, error) {
		added, err := tx.AddReading(ctx, tank, reading)
		if err != nil {
			return nil, err
		}
		return respond.Created("", readingWire(added))
	}))
}

// firstReading is the earliest moment that a reading may be of.
var firstReading = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)

// clockSkew is how far the clock of a sensor may be ahead.
const clockSkew = 5 * time.Minute

func (s *Tanks) readReading(in *gen.NewReading) (store.Reading, error) {
	r := wire.NewBody(nil)
	out := store.Reading{TakenAt: s.now()}
	if in.TakenAt != nil {
		out.TakenAt = *wire.Begin(in.TakenAt)
	}
	if out.TakenAt.Before(firstReading) || out.TakenAt.After(s.now().Add(clockSkew)) {
		r.Impossible("/taken_at", "/taken_at is before 2000 or in the future.", "write when the reading was taken")
	}
	said := false
	for w, raw := range [...]*gen.Quantity{in.TemperatureC, in.Ph, in.GhDh, in.SalinityPpt} {
		if raw != nil {
			x := r.Quantity("", string(wire.WaterParameters[w].Name), raw, wire.WaterParameters[w].Quantity)
			out.Values[w], said = &x, true
		}
	}
	if !said {
		r.Impossible("", "The reading has no value.", "give temperature_c, ph, gh_dh or salinity_ppt")
	}
	return out, r.Err()
}

// ListReadings lists the readings of a tank.
func (s *Tanks) ListReadings(c echo.Context, tankID string, p gen.ListReadingsParams) error {
	list, next, link, err := page(s, c, tankID, "readings", p.Limit, p.Cursor, func(k *respond.Keyset) (read[store.Reading], error) {
		before, id, err := k.BeforeMoment()
		return func(tx *store.Tx, tank uuid.UUID) ([]store.Reading, error) {
			return tx.Readings(c.Request().Context(), tank, before, id, k.Limit+1)
		}, err
	}, func(r *store.Reading) string { return respond.MomentPlace(r.TakenAt, r.ID) })
	if err != nil {
		return err
	}
	return respond.To(c).Send(respond.Listed(gen.ReadingsPage{Readings: wire.Mapped(list, readingWire), Next: next}, link))
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
			text := gen.Quantity(wire.Plain(*w.Latest[p]))
			*at = &text
		}
	}
}
