package admission_test

import (
	"context"
	"errors"
	"math/rand/v2"
	"slices"
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

// stay enters, notes its number in order, and stays for a piece of time.
func stay(g *admission.Gate, in func(context.Context, int64) (*admission.Pass, error), number int, piece time.Duration, order *[]int, mu *sync.Mutex) {
	p, err := in(context.Background(), 1)
	if err != nil {
		return
	}
	mu.Lock()
	*order = append(*order, number)
	mu.Unlock()
	time.Sleep(piece)
	p.Leave()
}

func TestTheQueueIsBounded(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := admission.New(admission.Options{Capacity: 1, Waiting: 2, Patience: time.Hour})
		p := enter(t, g, 1)
		var order []int
		var mu sync.Mutex
		var group sync.WaitGroup
		for i := range 5 {
			group.Go(func() { stay(g, g.Enter, i, 0, &order, &mu) })
			synctest.Wait()
			if s := g.State(); s.Waiting > 2 {
				t.Errorf("%d wait", s.Waiting)
			}
		}
		p.Leave()
		group.Wait()
		if want := []int{0, 1}; !slices.Equal(order, want) {
			t.Errorf("%v were let in, want %v", order, want)
		}
		if s := g.State(); s.Refused != 3 {
			t.Errorf("%d refused", s.Refused)
		}
	})
}

// A rush that turns out to be none leaves the newest waiting, as many as may wait under overload.
func TestWhereARushTurnsOutToBeNoneTheOldestAreRefused(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		const piece = 10 * time.Millisecond
		g := admission.New(admission.Options{Capacity: 1, Waiting: 100, Patience: time.Hour})
		var order []int
		var mu sync.Mutex
		var group sync.WaitGroup
		for range 4 { // it learns the pace
			stay(g, g.Enter, -1, piece, &order, &mu)
		}
		p := enter(t, g, 1)
		for i := range 7 { // the fifth would wait for more than 40 ms
			group.Go(func() { stay(g, g.Enter, i, piece, &order, &mu) })
			synctest.Wait()
		}
		if s := g.State(); s.Waiting != 2 || s.Refused != 5 {
			t.Errorf("%+v", s)
		}
		p.Leave()
		group.Wait()
		if want := []int{2, 3}; !slices.Equal(order[4:], want) {
			t.Errorf("%v were let in, want %v", order, want)
		}
	})
}

// A few wait in turn however long they take, and as many more as can be begun soon.
func TestARushIsServedInTurn(t *testing.T) {
	for _, x := range []struct {
		piece time.Duration
		come  int
	}{{time.Millisecond, 20}, {100 * time.Millisecond, 4}} {
		synctest.Test(t, func(t *testing.T) {
			g := admission.New(admission.Options{Capacity: 1, Waiting: 50, Patience: time.Minute})
			var order, want []int
			var mu sync.Mutex
			var group sync.WaitGroup
			for range 4 { // it learns the pace
				stay(g, g.Enter, 0, x.piece, &order, &mu)
			}
			for i := range x.come {
				group.Go(func() { stay(g, g.Enter, i, x.piece, &order, &mu) })
				synctest.Wait()
				want = append(want, i)
			}
			group.Wait()
			if !slices.Equal(order[4:], want) {
				t.Errorf("%v: %v were let in", x.piece, order[4:])
			}
		})
	}
}

// Work that was let in before goes first and is never refused; patient work keeps its patience and gets its turns.
func TestUnderOverloadWhoWasInBeforeGoesFirstAndThePatientGetTheirTurns(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		const piece = 10 * time.Millisecond
		g := admission.New(admission.Options{Capacity: 1, Waiting: 100, Patience: 5 * time.Second})
		stop := make(chan struct{})
		var group sync.WaitGroup
		var mu sync.Mutex
		var others, none []int
		group.Go(func() {
			for {
				select {
				case <-stop:
					return
				default:
				}
				group.Go(func() { stay(g, g.Enter, 0, piece, &others, &mu) })
				time.Sleep(piece / 3)
			}
		})
		time.Sleep(time.Second) // three times what can be done: overload stands
		if g.State().Refused == 0 {
			t.Error("nobody is refused")
		}
		for range 20 {
			p, err := g.Return(context.Background(), 1)
			if err != nil || p.Waited > piece {
				t.Fatalf("who was in before: %v", err)
			}
			time.Sleep(piece)
			p.Leave()
		}
		for range 20 {
			p, err := g.EnterPatiently(context.Background(), 1)
			if err != nil || p.Waited > 6*piece {
				t.Fatalf("who is patient: %v", err)
			}
			time.Sleep(piece)
			p.Leave()
		}
		close(stop)
		group.Wait()
		if len(others) < 50 {
			t.Errorf("only %d others were let in", len(others))
		}
		// It is over when nobody was refused for a while, and then a rush is served in turn again.
		time.Sleep(2 * time.Second)
		p := enter(t, g, 1)
		for i := range 3 {
			group.Go(func() { stay(g, g.Enter, i, 0, &none, &mu) })
			synctest.Wait()
		}
		time.Sleep(time.Second)
		p.Leave()
		group.Wait()
		if !slices.Equal(none, []int{0, 1, 2}) {
			t.Errorf("afterwards %v were let in", none)
		}
	})
}

func TestAHeavyOneThatGoesLetsTheOthersIn(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		g := admission.New(admission.Options{Capacity: 2, Waiting: 10, Patience: time.Hour})
		p := enter(t, g, 1)
		ctx, cancel := context.WithCancel(t.Context())
		gone := make(chan error)
		go func() { _, err := g.Enter(ctx, 2); gone <- err }()
		synctest.Wait()
		in := make(chan *admission.Pass)
		go func() { in <- enter(t, g, 1) }()
		synctest.Wait() // it waits behind the heavy one, though there is room
		cancel()
		if err := <-gone; !errors.Is(err, context.Canceled) {
			t.Errorf("%v", err)
		}
		(<-in).Leave()
		p.Leave()
		if s := g.State(); s.Running != 0 || s.Waiting != 0 {
			t.Errorf("%+v", s)
		}
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

// TestTwiceWhatCanBeDoneKeepsItsPace holds the law of overload in a time of its own, so that no other work on the machine matters: for
// pieces of every length, come at random twice as fast as they can be done, from the first on for ten seconds, 99 of 100
// that are served take no more than three times as long as alone, and at least four fifths of the capacity is used.
func TestTwiceWhatCanBeDoneKeepsItsPace(t *testing.T) {
	for _, piece := range []time.Duration{500 * time.Microsecond, 2 * time.Millisecond, 20 * time.Millisecond, 300 * time.Millisecond} {
		for _, capacity := range []int64{1, 4} {
			synctest.Test(t, func(t *testing.T) {
				const lasts = 10 * time.Second
				span := max(lasts, 200*piece)
				g := admission.New(admission.Options{Capacity: capacity, Waiting: 512, Patience: 500 * time.Millisecond})
				r := rand.New(rand.NewPCG(11, uint64(piece)))
				var mu sync.Mutex
				var took []time.Duration
				var group sync.WaitGroup
				for begin := time.Now(); time.Since(begin) < span; {
					group.Go(func() {
						came := time.Now()
						p, err := g.Enter(context.Background(), 1)
						if err != nil {
							return
						}
						time.Sleep(piece)
						p.Leave()
						mu.Lock()
						took = append(took, time.Since(came))
						mu.Unlock()
					})
					time.Sleep(time.Duration(r.ExpFloat64() * float64(piece) / float64(2*capacity)))
				}
				group.Wait()
				slices.Sort(took)
				p99 := took[len(took)*99/100]
				used := float64(len(took)) * float64(piece) / float64(span) / float64(capacity)
				t.Logf("%v on %d places: %d served, 99 of 100 within %v, %.0f %% of the capacity", piece, capacity, len(took), p99, 100*used)
				if p99 > 3*piece || used < 0.8 {
					t.Errorf("%v on %d places: 99 of 100 within %v, %.0f %% of the capacity", piece, capacity, p99, 100*used)
				}
			})
		}
	}
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
