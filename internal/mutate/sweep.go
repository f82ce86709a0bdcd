package mutate

import (
	"context"
	"fmt"
	"io"
	"sync"
)

// Tally counts outcomes.
type Tally map[Outcome]int

// Trier runs tests on one mutant.
type Trier interface {
	Try(ctx context.Context, m Mutant) (Outcome, error)
}

// Sweep tries all mutants, several at a time, and writes each that survives as soon as that is known.
func Sweep(ctx context.Context, w io.Writer, t Trier, mutants []Mutant, atOnce int) (Tally, error) {
	ctx, cancel := context.WithCancelCause(ctx)
	defer cancel(nil)
	queue, tally := make(chan Mutant), Tally{}
	var mu sync.Mutex
	var work sync.WaitGroup
	for range atOnce {
		work.Go(func() {
			for m := range queue {
				outcome, err := t.Try(ctx, m)
				if err != nil {
					cancel(err)
					continue
				}
				mu.Lock()
				if tally[outcome]++; outcome == Survived {
					fmt.Fprintln(w, m)
				}
				mu.Unlock()
			}
		})
	}
	for _, m := range mutants {
		select {
		case queue <- m:
		case <-ctx.Done():
		}
	}
	close(queue)
	work.Wait()
	return tally, context.Cause(ctx)
}
