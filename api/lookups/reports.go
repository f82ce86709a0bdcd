package lookups

import (
	"net/http"
	"strconv"

	"commensal/api/gen"
	"commensal/api/respond"
	"commensal/api/wire"
	"commensal/internal/conflict"
	"commensal/internal/evidence"
	"commensal/internal/species"

	"github.com/labstack/echo/v4"
)

// GetPairingReports counts what keepers report of a pair.
func (s *Lookups) GetPairingReports(c echo.Context, first string, second string) error {
	book, err := s.books.Book()
	if err != nil {
		return err
	}
	matches, err := wire.ResolveAll(book.Snapshot, wire.InPath("first", first), wire.InPath("second", second))
	if err != nil {
		return err
	}
	tallies := s.tallies()
	if tallies == nil {
		return respond.ErrDatabaseAway
	}
	index := [2]int{matches[0].Index, matches[1].Index}
	tally := tallies.Of(pairOf(book.Snapshot, index))
	key := PairingRequest{Index: index}
	address := key.Address(book.Snapshot) + "/reports"
	return respond.To(c).Send(&respond.Reply{Status: http.StatusOK, Media: respond.JSONType, ContentLocation: address, ETag: s.books.Tag(book, address+tallyMark(&tally)),
		Make: func() (any, error) { return pairingReportsWire(book, index, &tally), nil }}, nil)
}

// tallies is what is reported of every pair; nil where that is not known.
func (s *Lookups) tallies() *evidence.Tallies {
	if s.reported == nil {
		return nil
	}
	return s.reported()
}

func pairOf(snap *species.Snapshot, index [2]int) evidence.Pair {
	return evidence.PairOf(string(snap.At(index[0]).ID), string(snap.At(index[1]).ID))
}

// tallyMark tells one state of the reports of a pair from all others; "" for none.
func tallyMark(t *evidence.Tally) string {
	if t.Organizations == 0 {
		return ""
	}
	mark := "\x00" + strconv.Itoa(t.Organizations)
	for _, n := range t.Counts {
		mark += " " + strconv.Itoa(n)
	}
	return mark + " " + wire.Plain(t.Good) + " " + wire.Plain(t.Trouble)
}

// reportsWire is what is reported of a pair in short; nil for nothing.
func reportsWire(book *conflict.Book, key *PairingRequest) *gen.Reports {
	t := &key.reports
	if t.Reports() == 0 {
		return nil
	}
	prior := book.Value(key.Index[0], key.Index[1]) / 100
	after := t.Posterior(prior)
	return &gen.Reports{Count: t.Reports(), Outcomes: outcomesWire(t), Weight: wire.Decimals(t.Weight(), 2),
		Posterior: beliefWire(after), Summary: t.Summary(prior, after)}
}

func pairingReportsWire(book *conflict.Book, index [2]int, t *evidence.Tally) gen.PairingReports {
	score := book.Value(index[0], index[1])
	prior := score / 100
	after := t.Posterior(prior)
	out := gen.PairingReports{
		Species: []gen.SpeciesRef{wire.SpeciesRef(book.Snapshot.At(index[0])), wire.SpeciesRef(book.Snapshot.At(index[1]))},
		Count:   t.Reports(), Outcomes: outcomesWire(t), Weight: wire.Decimals(t.Weight(), 2),
		Prior:     gen.ReportsPrior{Score: wire.Tenths(score), Weight: evidence.PriorWeight},
		Posterior: beliefWire(after), Summary: t.Summary(prior, after),
		ModelVersion: book.Model.Version(), CatalogueRevision: book.Snapshot.Revision(),
	}
	if n := t.AtLeast(); n > 0 {
		out.Organizations = &n
	}
	if observed, ok := t.Observed(); ok {
		wire := beliefWire(observed)
		out.Observed = &wire
	}
	return out
}

func outcomesWire(t *evidence.Tally) gen.OutcomeCounts {
	return gen.OutcomeCounts{Fine: t.Counts[evidence.Fine], Harassed: t.Counts[evidence.Harassed],
		Injured: t.Counts[evidence.Injured], Killed: t.Counts[evidence.Killed]}
}

// beliefWire writes a risk as scores are written. What is lost in the last binary digit
// is no tenth.
func beliefWire(b evidence.Belief) gen.ReportedRisk {
	const lost = 1e-9
	return gen.ReportedRisk{Mean: wire.Tenths(100*b.Mean + lost), Interval: []float64{wire.Tenths(100*b.Low + lost), wire.TenthsUp(100*b.High - lost)}}
}
