package api

import (
	"context"
	"time"

	"commensal/api/gen"
	"commensal/internal/conflict"
	"commensal/internal/evidence"
	"commensal/internal/store"
)

// CreateReport files a keeping report.
func (s *Server) CreateReport(ctx context.Context, r gen.CreateReportRequestObject) (gen.CreateReportResponseObject, error) {
	report, err := s.readReport(r.Body)
	if err != nil {
		return nil, err
	}
	return s.write(ctx, func(tx *store.Tx) (*reply, error) {
		filed, err := tx.CreateReport(ctx, report)
		if err != nil {
			return nil, err
		}
		return made("/v1/reports/"+filed.ID.String(), reportWire(filed))
	})
}

// ListReports lists the reports of the organization.
func (s *Server) ListReports(ctx context.Context, r gen.ListReportsRequestObject) (gen.ListReportsResponseObject, error) {
	whose := callOf(ctx).Organization
	k, err := newKeyset(whose, "/v1/reports", nil, r.Params.Limit, r.Params.Cursor)
	if err != nil {
		return nil, err
	}
	after, err := k.afterID()
	if err != nil {
		return nil, err
	}
	var list []store.Report
	err = s.read(ctx, func(tx *store.Tx) (err error) {
		list, err = tx.Reports(ctx, after, k.limit+1)
		return err
	})
	if err != nil {
		return nil, err
	}
	list, next, link := cut(&k, whose, list, func(r *store.Report) string { return r.ID.String() })
	return listed(gen.ReportsPage{Reports: mapped(list, reportWire), Next: next}, link)
}

// GetReport is one report of the organization.
func (s *Server) GetReport(ctx context.Context, r gen.GetReportRequestObject) (gen.GetReportResponseObject, error) {
	id, err := idOf(r.Report)
	if err != nil {
		return nil, storeFault(err)
	}
	var report store.Report
	err = s.read(ctx, func(tx *store.Tx) (err error) {
		report, err = tx.Report(ctx, id)
		return err
	})
	if err != nil {
		return nil, err
	}
	return jsonReply(reportWire(report))
}

// RetractReport makes a report count no more.
func (s *Server) RetractReport(ctx context.Context, r gen.RetractReportRequestObject) (gen.RetractReportResponseObject, error) {
	id, err := idOf(r.Report)
	if err != nil {
		return nil, storeFault(err)
	}
	return s.write(ctx, func(tx *store.Tx) (*reply, error) { return nothing(), tx.RetractReport(ctx, id) })
}

// readReport reads a report, or tells of all that is wrong with it.
func (s *Server) readReport(in *gen.NewReport) (out store.Report, err error) {
	sh, err := s.current()
	if err != nil {
		return out, err
	}
	r := newListReader(sh.book.Snapshot)
	out.Fish[0] = r.reportedFish("first", in.First, in.FirstCount, in.FirstLengthCm)
	out.Fish[1] = r.reportedFish("second", in.Second, in.SecondCount, in.SecondLengthCm)
	out.Months = in.Months + 0                                 // +0 makes -0 plain
	out.Outcome, _ = evidence.ParseOutcome(string(in.Outcome)) // the contract lets no other word pass
	if in.TankSize != nil {
		if size, ok := readTankAt(spot{gen.Body, "/tank_size", "tank_size"}, *in.TankSize, &r.found); ok {
			out.TankCM = [3]*float64{&size.Length, &size.Width, &size.Height}
		}
	}
	if in.ObservedOn != nil {
		out.ObservedOn = r.observedOn(*in.ObservedOn, s.cfg.Now())
	}
	return out, r.err()
}

// reportedFish reads one side of a report.
func (r *listReader) reportedFish(which, name string, count *float64, length *gen.Quantity) (out store.ReportedFish) {
	if index := r.species("/"+which, name); index >= 0 {
		out.Species = string(r.snap.At(index).ID)
	}
	if count != nil {
		n := int(*count)
		out.Count = &n
	}
	if length != nil {
		x := r.quantity("", which+"_length_cm", length, residentLength)
		out.LengthCM = &x
	}
	return out
}

// firstObservation is the earliest day that a report may be of: forums carry their old
// books over.
var firstObservation = time.Date(1950, 1, 1, 0, 0, 0, 0, time.UTC)

// observedOn reads a day up to the present one, wherever on earth that is.
func (r *listReader) observedOn(text string, now time.Time) time.Time {
	day, err := time.Parse(time.DateOnly, text)
	if err != nil || day.Before(firstObservation) || day.After(now.UTC().Add(14*time.Hour)) {
		r.impossible("/observed_on", "/observed_on is before 1950 or in the future.", "write the day on which the outcome was seen")
	}
	return day
}

func reportWire(r store.Report) gen.Report {
	out := gen.Report{
		Id: r.ID.String(), First: r.Fish[0].Species, Second: r.Fish[1].Species, Months: r.Months, Outcome: gen.Outcome(r.Outcome.String()),
		FirstCount: r.Fish[0].Count, SecondCount: r.Fish[1].Count, FirstLengthCm: r.Fish[0].LengthCM, SecondLengthCm: r.Fish[1].LengthCM,
		CreatedAt: r.CreatedAt.UTC(), RetractedAt: instant(r.RetractedAt),
	}
	if c := r.TankCM; c[0] != nil {
		out.TankSize = optional(sizeText(&conflict.TankSize{LengthCM: *c[0], WidthCM: *c[1], HeightCM: *c[2]}))
	}
	if !r.ObservedOn.IsZero() {
		out.ObservedOn = optional(r.ObservedOn.Format(time.DateOnly))
	}
	return out
}
