package replica

import (
	"context"
	"errors"
	"sync"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"
)

// Whoever asks while a question is under way is not answered by it: something may have been committed since it was
// sent. All who ask meanwhile share the next one.
func TestNobodyIsAnsweredByAQuestionThatWasSentBefore(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		var sent atomic.Int64
		a := &asker{within: time.Minute, ask: func(context.Context) (Position, error) {
			n := sent.Add(1)
			time.Sleep(time.Second) // the answer is that of the moment when it was sent
			return Position(n), nil
		}}
		var wg sync.WaitGroup
		wg.Go(func() {
			if at, err := a.position(t.Context()); at != 1 || err != nil {
				t.Errorf("the first is told %d, %v", at, err)
			}
		})
		synctest.Wait()
		time.Sleep(time.Millisecond) // the others come while the first question is under way
		for range 3 {
			wg.Go(func() {
				if at, err := a.position(t.Context()); err != nil || at != 2 {
					t.Errorf("whoever came after question 1 was told %d, %v", at, err)
				}
			})
		}
		wg.Wait()
		if n := sent.Load(); n != 2 {
			t.Errorf("%d questions were sent for four who ask", n)
		}
	})
}

func TestAPrimaryThatDoesNotAnswerIsGivenUp(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		away := errors.New("away")
		a := &asker{within: time.Second, ask: func(ctx context.Context) (Position, error) {
			<-ctx.Done()
			return 0, away
		}}
		if _, err := a.position(t.Context()); !errors.Is(err, away) {
			t.Errorf("%v", err)
		}
		ctx, cancel := context.WithTimeout(t.Context(), time.Millisecond)
		defer cancel()
		if _, err := a.position(ctx); !errors.Is(err, context.DeadlineExceeded) {
			t.Errorf("who cannot wait is told %v", err)
		}
		time.Sleep(2 * time.Second)
	})
}

func TestTheLagIsToldByWhereThePrimaryWasWhen(t *testing.T) {
	t.Parallel()
	begin := time.Now()
	at := func(seconds int) time.Time { return begin.Add(time.Duration(seconds) * time.Second) }
	var tr track
	if lag := tr.lag(0, at(5)); lag != 0 {
		t.Errorf("of nothing: %v", lag)
	}
	for i := range 10 {
		tr.note(seen{Position(100 * i), at(i)})
		tr.note(seen{Position(100 * i), at(i).Add(time.Second / 2)}) // it stood still
	}
	for position, want := range map[Position]time.Duration{900: 0, 1000: 0, 899: time.Second, 800: time.Second, 799: 2 * time.Second, 150: 8 * time.Second, 0: 9 * time.Second} {
		if lag := tr.lag(position, at(10)); lag != want {
			t.Errorf("a replica at %d is %v behind, want %v", position, lag, want)
		}
	}
	for i := range 2 * maxSeen {
		tr.note(seen{Position(1000 + i), at(10 + i)})
	}
	if len(tr) != maxSeen || tr.lag(0, at(10+2*maxSeen)) != maxSeen*time.Second {
		t.Errorf("%d moments, %v behind", len(tr), tr.lag(0, at(10+2*maxSeen)))
	}
	tr.note(seen{5, at(9999)}) // another primary, which has not come so far
	if len(tr) != 1 || tr.lag(4, at(10000)) != time.Second {
		t.Errorf("after another primary: %v", tr)
	}
}
