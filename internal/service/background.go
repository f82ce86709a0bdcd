package service

import (
	"context"
	"time"

	"commensal/internal/auth"
	"commensal/internal/evidence"
	"commensal/internal/store/replica"
)

// followCatalogue swaps the book at every new revision from now on.
func (s *service) followCatalogue(context.Context) error {
	s.inBackground(s.live.follow)
	return nil
}

func (s *service) tellOfReplica(state replica.State) {
	if state.Why == "" {
		s.log.Info("lists and histories are read from the replica", "lag", state.Lag)
		return
	}
	s.log.Warn("the replica is not read from; the primary is", "reason", string(state.Why), "lag", state.Lag)
}

// inBackground runs a piece of work beside the service until that stops.
func (s *service) inBackground(work func(context.Context)) {
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan struct{})
	go func() {
		defer close(done)
		work(ctx)
	}()
	s.onStop(func(context.Context) error {
		cancel()
		<-done
		return nil
	})
}

// followReports reads what keepers report of every pair, and swaps it at every change
// from now on. Lookups read it from memory, and do without where it cannot be read.
func (s *service) followReports(ctx context.Context) error {
	if tallies, err := s.live.store.ReportTallies(ctx); err != nil {
		s.log.Warn("keeping reports cannot be read yet", "error", err)
	} else {
		s.reports.Store(tallies)
	}
	s.inBackground(func(ctx context.Context) {
		_ = s.live.store.WatchReports(ctx, func(tallies *evidence.Tallies) { // it ends with ctx and for no other reason
			s.reports.Store(tallies)
			s.log.Debug("new keeping reports", "pairs", tallies.Len())
		})
	})
	return nil
}

// How often the maintenance is done that no request waits for.
const (
	noteUsesEvery     = time.Minute
	sweepAnswersEvery = 10 * time.Minute
	sweepAtOnce       = 10_000
	screenEvery       = 5 * time.Second // one pass over stored tanks, bounded by itself
)

// maintain makes the verifier of keys, notes when keys were used, and sweeps the answers
// that no retry can ask for any more. What was used is noted once more at the end.
func (s *service) maintain(context.Context) error {
	s.verifier = auth.NewVerifier(s.live.store, nil)
	s.inBackground(func(ctx context.Context) {
		s.every(ctx, noteUsesEvery, s.verifier.NoteUses)
		last, cancel := context.WithTimeout(context.WithoutCancel(ctx), time.Second)
		defer cancel()
		_ = s.verifier.NoteUses(last) // to within a minute or so is all that was promised
	})
	s.inBackground(func(ctx context.Context) { s.every(ctx, sweepAnswersEvery, s.sweep) })
	s.inBackground(func(ctx context.Context) { paceCollector(ctx, s.set.Getenv) })
	return nil
}

// every does a piece of work at an interval until ctx ends. A failure is logged, and the next
// time comes.
func (s *service) every(ctx context.Context, interval time.Duration, work func(context.Context) error) {
	ticker := time.NewTicker(interval)
	defer ticker.Stop()
	for {
		select {
		case <-ctx.Done():
			return
		case <-ticker.C:
		}
		if err := work(ctx); err != nil && ctx.Err() == nil {
			s.log.Warn("background maintenance is put off", "error", err)
		}
	}
}

func (s *service) sweep(ctx context.Context) error {
	for {
		swept, err := s.live.store.SweepAnswers(ctx, sweepAtOnce)
		if err != nil || swept < sweepAtOnce {
			return err
		}
	}
}
