package main

import (
	"context"

	"commensal/internal/evidence"
)

// followReports reads what keepers report of every pair, and swaps it at every change
// from now on. Lookups read it from memory, under the feet of nobody, and do without
// where it cannot be read.
func (s *service) followReports(ctx context.Context) error {
	if tallies, err := s.shelf.store.ReportTallies(ctx); err != nil {
		s.log.Warn("keeping reports cannot be read yet", "error", err)
	} else {
		s.reports.Store(tallies)
	}
	s.beside(func(ctx context.Context) {
		_ = s.shelf.store.WatchReports(ctx, func(tallies *evidence.Tallies) { // it ends with ctx and for no other reason
			s.reports.Store(tallies)
			s.log.Debug("new keeping reports", "pairs", tallies.Len())
		})
	})
	return nil
}
