package api

import (
	"context"
	"net/http"
	"strconv"

	"commensal/api/gen"
	"commensal/internal/conflict"
	"commensal/internal/evidence"
	"commensal/internal/species"
)

// GetPairingReports counts what keepers report of a pair.
func (s *Server) GetPairingReports(_ context.Context, r gen.GetPairingReportsRequestObject) (gen.GetPairingReportsResponseObject, error) {
	sh, err := s.current()
	if err != nil {
		return nil, err
	}
	matches, err := resolveAll(sh.book.Snapshot, inPath("first", r.First), inPath("second", r.Second))
	if err != nil {
		return nil, err
	}
	tallies := s.tallies()
	if tallies == nil {
		return nil, errDatabaseAway
	}
	index := [2]int{matches[0].Index, matches[1].Index}
	tally := tallies.Of(pairOf(sh.book.Snapshot, index))
	key := pairingKey{index: index}
	address := key.address(sh.book.Snapshot) + "/reports"
	return &reply{status: http.StatusOK, media: jsonType, location: address, etag: s.entityTag(sh.book, address+tallyMark(&tally)),
		make: func() (any, error) { return pairingReportsWire(sh.book, index, &tally), nil }}, nil
}

// tallies is what is reported of every pair; nil where that is not known.
func (s *Server) tallies() *evidence.Tallies {
	if s.cfg.Reports == nil {
		return nil
	}
	return s.cfg.Reports()
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
	return mark + " " + plain(t.Good) + " " + plain(t.Trouble)
}

// reportsWire is what is reported of a pair in short; nil for nothing.
func reportsWire(book *conflict.Book, key *pairingKey) *gen.Reports {
	t := &key.reports
	if t.Reports() == 0 {
		return nil
	}
	prior := book.Value(key.index[0], key.index[1]) / 100
	after := t.Posterior(prior)
	return &gen.Reports{Count: t.Reports(), Outcomes: outcomesWire(t), Weight: decimals(t.Weight(), 2),
		Posterior: beliefWire(after), Summary: t.Summary(prior, after)}
}

func pairingReportsWire(book *conflict.Book, index [2]int, t *evidence.Tally) gen.PairingReports {
	score := book.Value(index[0], index[1])
	prior := score / 100
	after := t.Posterior(prior)
	out := gen.PairingReports{
		Species: []gen.SpeciesRef{refWire(book.Snapshot.At(index[0])), refWire(book.Snapshot.At(index[1]))},
		Count:   t.Reports(), Outcomes: outcomesWire(t), Weight: decimals(t.Weight(), 2),
		Prior:     gen.ReportsPrior{Score: Tenths(score), Weight: evidence.PriorWeight},
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
	return gen.ReportedRisk{Mean: Tenths(100*b.Mean + lost), Interval: []float64{Tenths(100*b.Low + lost), tenthsUp(100*b.High - lost)}}
}
