package admission_test

import (
	"context"
	"errors"
	"sync"
	"testing"
	"testing/synctest"
	"time"

	"commensal/internal/admission"
)

// enter asks for a pass and fails the test where there is none.
func enter(t *testing.T, g *admission.Gate, weight int64) *admission.Pass {
	t.Helper()
	p, err := g.Enter(t.Context(), weight)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func refused(t *testing.T, g *admission.Gate, weight int64) {
	t.Helper()
	if p, err := g.Enter(t.Context(), weight); !errors.Is(err, admission.ErrRefused) || p != nil {
		t.Fatalf("%v, %v", p, err)
	}
}

func TestWeightIsNeverAboveTheCapacity(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := admission.New(admission.Options{Capacity: 10, Waiting: 100, Patience: time.Minute})
		var group sync.WaitGroup
		for i := range 60 {
			group.Go(func() {
				p, err := g.Enter(context.Background(), int64(i%12))
				if err != nil {
					t.Error(err)
					return
				}
				if s := g.State(); s.Running > s.Capacity {
					t.Errorf("%d at work, capacity %d", s.Running, s.Capacity)
				}
				time.Sleep(time.Millisecond)
				p.Leave()
			})
		}
		group.Wait()
		if s := g.State(); s.Running != 0 || s.Waiting != 0 || s.Refused != 0 {
			t.Errorf("left behind: %+v", s)
		}
	})
}

func TestWithoutPatienceAFullGateRefusesAtOnce(t *testing.T) {
	g := admission.New(admission.Options{Capacity: 2})
	first := enter(t, g, 1)
	second := enter(t, g, 1)
	refused(t, g, 1)
	first.Leave()
	first.Leave() // twice gives back once
	third := enter(t, g, 1)
	refused(t, g, 1)
	second.Leave()
	third.Leave()
	var none *admission.Pass
	none.Leave()
	if s := g.State(); s.Refused != 2 || s.Running != 0 {
		t.Errorf("%+v", s)
	}
}

func TestTheQueueIsBounded(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := admission.New(admission.Options{Capacity: 1, Waiting: 2, Patience: time.Hour})
		p := enter(t, g, 1)
		var group sync.WaitGroup
		for range 2 {
			group.Go(func() { enter(t, g, 1).Leave() })
		}
		synctest.Wait()
		refused(t, g, 1)
		p.Leave()
		group.Wait()
	})
}

func TestARushIsWaitedFor(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := admission.New(admission.Options{Capacity: 1, Waiting: 50, Patience: time.Second})
		var group sync.WaitGroup
		for range 40 { // 0.4 s of work at once: nobody is refused
			group.Go(func() {
				p := enter(t, g, 1)
				time.Sleep(10 * time.Millisecond)
				p.Leave()
			})
		}
		group.Wait()
		if s := g.State(); s.Refused != 0 {
			t.Errorf("%+v", s)
		}
	})
}

// TestUnderOverloadWhatIsServedIsServedSoon offers twice what can be done: after the first
// rush nobody who is served has waited longer than the stretch, and nearly all of the
// capacity is used.
func TestUnderOverloadWhatIsServedIsServedSoon(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		const piece = 20 * time.Millisecond
		g := admission.New(admission.Options{Capacity: 1, Waiting: 1000, Patience: 2 * time.Second})
		var mu sync.Mutex
		var longest, busy time.Duration
		begin := time.Now()
		var group sync.WaitGroup
		for range 2000 { // 20 s at 100 a second; 50 can be done
			group.Go(func() {
				p, err := g.Enter(context.Background(), 1)
				if err != nil {
					return
				}
				time.Sleep(piece)
				mu.Lock()
				if time.Since(begin) > 5*time.Second { // the queue of the rush is gone
					longest, busy = max(longest, p.Waited), busy+piece
				}
				mu.Unlock()
				p.Leave()
			})
			time.Sleep(piece / 2)
		}
		group.Wait()
		if longest > 2*piece {
			t.Errorf("waited %v for a piece of %v", longest, piece)
		}
		if busy < 12*time.Second {
			t.Errorf("only %v of 15 s was used", busy)
		}
		if g.State().Refused == 0 {
			t.Error("nobody was refused")
		}
		// The next quiet hour is not held back by what was.
		time.Sleep(time.Hour)
		p := enter(t, g, 1)
		go func() { time.Sleep(time.Second); p.Leave() }()
		enter(t, g, 1).Leave()
	})
}

func TestWhoeverHasGoneDoesNotKeepAPlace(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := admission.New(admission.Options{Capacity: 1, Waiting: 10, Patience: time.Hour})
		p := enter(t, g, 1)
		ctx, cancel := context.WithCancel(t.Context())
		gone := make(chan error)
		go func() { _, err := g.Enter(ctx, 1); gone <- err }()
		synctest.Wait()
		cancel()
		if err := <-gone; !errors.Is(err, context.Canceled) {
			t.Errorf("%v", err)
		}
		if s := g.State(); s.Waiting != 0 || s.Refused != 0 {
			t.Errorf("%+v", s)
		}
		p.Leave()
		enter(t, g, 1).Leave()
	})
}

func BenchmarkEnter(b *testing.B) {
	g := admission.New(admission.Options{Capacity: 1 << 30})
	b.ReportAllocs()
	b.RunParallel(func(pb *testing.PB) {
		for pb.Next() {
			p, err := g.Enter(b.Context(), 1)
			if err != nil {
				b.Fatal(err)
			}
			p.Leave()
		}
	})
}
