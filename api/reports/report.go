package reports

import (
	"time"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/transact"
	"commensal/api/validate"
	"commensal/api/wire"
	"commensal/internal/conflict"
	"commensal/internal/evidence"
	"commensal/internal/store"

	"commensal/internal/moment"
	"github.com/labstack/echo/v4"
)

// CreateReport files a keeping report.
func (s *Reports) CreateReport(c echo.Context, p gen.CreateReportParams) error {
	ctx := c.Request().Context()
	in, err := validate.Body[gen.NewReport](c)
	if err != nil {
		return err
	}
	report, err := s.readReport(in)
	if err != nil {
		return err
	}
	return respond.To(c).Send(transact.Write(c, s.store, func(tx *store.Tx) (*respond.Reply, error) {
		filed, err := tx.CreateReport(ctx, report)
		if err != nil {
			return nil, err
		}
		return respond.Created("/v1/reports/"+filed.ID.String(), reportWire(filed))
	}))
}

// ListReports lists the reports of the organization.
func (s *Reports) ListReports(c echo.Context, p gen.ListReportsParams) error {
	ctx := c.Request().Context()
	whose := transact.Who(c).Organization
	k, err := respond.NewKeyset(whose, "/v1/reports", nil, p.Limit, p.Cursor)
	if err != nil {
		return err
	}
	after, err := k.AfterID()
	if err != nil {
		return err
	}
	var list []store.Report
	err = transact.ReadAnywhere(c, s.store, func(tx *store.Tx) (err error) {
		list, err = tx.Reports(ctx, after, k.Limit+1)
		return err
	})
	if err != nil {
		return err
	}
	list, next, link := respond.Cut(&k, whose, list, func(r *store.Report) string { return r.ID.String() })
	return respond.To(c).Send(respond.Listed(gen.ReportsPage{Reports: wire.Mapped(list, reportWire), Next: next}, link))
}

// GetReport is one report of the organization.
func (s *Reports) GetReport(c echo.Context, reportID string) error {
	ctx := c.Request().Context()
	id, err := respond.ParseID(reportID)
	if err != nil {
		return respond.StoreFault(err)
	}
	var report store.Report
	err = transact.Read(c, s.store, func(tx *store.Tx) (err error) {
		report, err = tx.Report(ctx, id)
		return err
	})
	if err != nil {
		return err
	}
	return respond.To(c).Send(respond.JSON(reportWire(report)))
}

// RetractReport makes a report count no more.
func (s *Reports) RetractReport(c echo.Context, reportID string) error {
	ctx := c.Request().Context()
	id, err := respond.ParseID(reportID)
	if err != nil {
		return respond.StoreFault(err)
	}
	return respond.To(c).Send(transact.Write(c, s.store, func(tx *store.Tx) (*respond.Reply, error) { return respond.NoContent(), tx.RetractReport(ctx, id) }))
}

// readReport reads a report, or tells of all that is wrong with it.
func (s *Reports) readReport(in *gen.NewReport) (out store.Report, err error) {
	book, err := s.books.Book()
	if err != nil {
		return out, err
	}
	r := wire.NewBody(book.Snapshot)
	out.Fish[0] = reportedFish(r, "first", in.First, in.FirstCount, in.FirstLengthCm)
	out.Fish[1] = reportedFish(r, "second", in.Second, in.SecondCount, in.SecondLengthCm)
	out.Months = in.Months + 0                                 // +0 makes -0 plain
	out.Outcome, _ = evidence.ParseOutcome(string(in.Outcome)) // the contract lets no other word pass
	if in.TankSize != nil {
		if size, ok := wire.ReadTankAt(wire.BodySpot("", "tank_size"), *in.TankSize, &r.Found); ok {
			out.TankCM = [3]*float64{&size.Length, &size.Width, &size.Height}
		}
	}
	if in.ObservedOn != nil {
		out.ObservedOn = observedOn(r, *in.ObservedOn, s.now())
	}
	return out, r.Err()
}

// reportedFish reads one side of a report.
func reportedFish(r *wire.Body, which, name string, count *float64, length *gen.Quantity) (out store.ReportedFish) {
	if index := r.Species("/"+which, name); index >= 0 {
		out.Species = string(r.Snap.At(index).ID)
	}
	if count != nil {
		n := int(*count)
		out.Count = &n
	}
	if length != nil {
		x := r.Quantity("", which+"_length_cm", length, wire.ResidentLength)
		out.LengthCM = &x
	}
	return out
}

// firstObservation is the earliest day that a report may be of: forums carry their old
// books over.
var firstObservation = time.Date(1950, 1, 1, 0, 0, 0, 0, time.UTC)

// observedOn reads a day up to the present one, wherever on earth that is.
func observedOn(r *wire.Body, text string, now time.Time) time.Time {
	m, err := moment.Parse(text)
	day := m.Day()
	if err != nil || day.Before(firstObservation) || day.After(now.UTC().Add(14*time.Hour)) {
		r.Impossible("/observed_on", "/observed_on is before 1950 or in the future.", "write the day on which the outcome was seen")
	}
	return day
}

func reportWire(r store.Report) gen.Report {
	out := gen.Report{
		Id: r.ID.String(), First: r.Fish[0].Species, Second: r.Fish[1].Species, Months: r.Months, Outcome: gen.Outcome(r.Outcome.String()),
		FirstCount: r.Fish[0].Count, SecondCount: r.Fish[1].Count, FirstLengthCm: r.Fish[0].LengthCM, SecondLengthCm: r.Fish[1].LengthCM,
		CreatedAt: r.CreatedAt.UTC(), RetractedAt: wire.Instant(r.RetractedAt),
	}
	if c := r.TankCM; c[0] != nil {
		out.TankSize = wire.Optional(wire.SizeText(&conflict.TankSize{LengthCM: *c[0], WidthCM: *c[1], HeightCM: *c[2]}))
	}
	if !r.ObservedOn.IsZero() {
		out.ObservedOn = wire.Optional(r.ObservedOn.Format(time.DateOnly))
	}
	return out
}
