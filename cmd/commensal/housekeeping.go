package main

import (
	"context"
	"time"

	"commensal/internal/auth"
)

// How often the small tidying is done that no request waits for.
const (
	noteUsesEvery     = time.Minute
	sweepAnswersEvery = 10 * time.Minute
	sweepAtOnce       = 10_000
)

// keepHouse makes the verifier of keys, notes when keys were used, and sweeps the answers
// that no retry can ask for any more. What was used is noted once more at the end.
func (s *service) keepHouse(context.Context) error {
	s.verifier = auth.NewVerifier(s.shelf.store, nil)
	s.beside(func(ctx context.Context) {
		s.every(ctx, noteUsesEvery, s.verifier.NoteUses)
		last, cancel := context.WithTimeout(context.WithoutCancel(ctx), time.Second)
		defer cancel()
		_ = s.verifier.NoteUses(last) // to within a minute or so is all that was promised
	})
	s.beside(func(ctx context.Context) { s.every(ctx, sweepAnswersEvery, s.sweep) })
	return nil
}

// every does a piece of work again and again until ctx ends. A failure is told, and the
// next time comes.
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
			s.log.Warn("housekeeping is put off", "error", err)
		}
	}
}

func (s *service) sweep(ctx context.Context) error {
	for {
		swept, err := s.shelf.store.SweepAnswers(ctx, sweepAtOnce)
		if err != nil || swept < sweepAtOnce {
			return err
		}
	}
}
