package work

import (
	"context"
	"errors"
	"testing"
	"testing/synctest"
	"time"

	"commensal/api/respond"
)

func TestAJobIsCountedAndStoppedWithItsRequest(t *testing.T) {
	d := NewOn(2, 100)
	account := &Account{}
	ctx, cancel := context.WithCancel(With(t.Context(), account))
	job, err := d.Begin(ctx, 10)
	if err != nil {
		t.Fatal(err)
	}
	if !job.Budget.Spend(60) || job.Gone() {
		t.Error("ended early")
	}
	if job.Budget.Spend(60) {
		t.Error("no limit")
	}
	cancel()
	for !job.Gone() { // AfterFunc runs beside
		time.Sleep(time.Millisecond)
	}
	job.Done()
	if account.Units() != 120 || account.Refused() {
		t.Errorf("%d units", account.Units())
	}
	if short, long := d.Lanes(); short.Running+long.Running != 0 {
		t.Errorf("%+v %+v", short, long)
	}
}

// A request sits before its body is read, and its short work is done where it sits.
func TestShortWorkIsDoneWhereTheRequestSits(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := NewOn(1, 0)
		account := Open()
		ctx := With(t.Context(), account)
		for range 2 { // the second time it sits already
			if err := d.Sit(ctx, 1000); err != nil {
				t.Fatal(err)
			}
		}
		running := func() (short, long int64) { s, l := d.Lanes(); return s.Running, l.Running }
		if short, _ := running(); short != 1 || account.Units() != 200 {
			t.Errorf("%d places are taken, %d units", short, account.Units())
		}
		job, err := d.Begin(ctx, shortUnits)
		if short, long := running(); err != nil || short != 1 || long != 0 {
			t.Errorf("at work on %d and %d places, %v", short, long, err)
		}
		account.Rise() // of a place that is the job's by now
		if short, _ := running(); short != 1 {
			t.Error("the job's place was given back")
		}
		job.Done()
		if err := d.Sit(With(t.Context(), &Account{}), 0); err != nil { // of one that nobody opened
			t.Error(err)
		}
		if short, _ := running(); short != 0 {
			t.Errorf("%d places are taken in the end", short)
		}
	})
}

// Long work, and what waits for the database, gives the place to others; who comes back from there goes before them.
func TestAPlaceIsGivenBackAndTakenUpAgain(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := NewOn(1, 0)
		ctx, other := With(t.Context(), Open()), With(t.Context(), Open())
		if err := d.Sit(ctx, 1000); err != nil {
			t.Fatal(err)
		}
		Rise(ctx)
		if err := d.Sit(other, 0); err != nil {
			t.Fatal(err)
		}
		last, third := With(t.Context(), Open()), make(chan error)
		go func() { third <- d.Sit(last, 0) }()
		synctest.Wait()
		back := make(chan *Job)
		go func() {
			job, err := d.Begin(ctx, 1)
			if err != nil {
				t.Error(err)
			}
			back <- job
		}()
		synctest.Wait()
		Rise(other)
		job := <-back
		select {
		case <-third:
			t.Error("a newcomer was let in before one who came back")
		default:
		}
		job.Done()
		if err := <-third; err != nil {
			t.Error(err)
		}
		long, err := d.Begin(last, shortUnits+1)
		if err != nil {
			t.Fatal(err)
		}
		if s, l := d.Lanes(); s.Running != 0 || l.Running != 1 {
			t.Errorf("%+v %+v", s, l)
		}
		long.Done()
	})
}

func TestLongWorkLeavesAProcessorToShortWork(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := NewOn(4, 0)
		var jobs []*Job
		for range 3 {
			job, err := d.Begin(t.Context(), shortUnits+1)
			if err != nil {
				t.Fatal(err)
			}
			jobs = append(jobs, job)
		}
		account := &Account{}
		begin := time.Now()
		_, err := d.Begin(With(t.Context(), account), shortUnits+1)
		var f *respond.Fault
		if !errors.As(err, &f) || f.Slug != respond.Overloaded || f.Header["Retry-After"] == "" || !account.Refused() {
			t.Errorf("%v", err)
		}
		if waited := time.Since(begin); waited != longPatience {
			t.Errorf("waited %v", waited)
		}
		short, err := d.Begin(t.Context(), shortUnits)
		if err != nil {
			t.Errorf("short work is refused: %v", err)
		}
		short.Done()
		for _, j := range jobs {
			j.Done()
		}
	})
}

func TestDearWorkTakesSeveralPlaces(t *testing.T) {
	d := NewOn(16, 0)
	job, err := d.Begin(t.Context(), 10*DefaultLimit)
	if err != nil {
		t.Fatal(err)
	}
	if _, long := d.Lanes(); long.Running != 4 {
		t.Errorf("%d places", long.Running)
	}
	job.Done()
}

func TestPricesRise(t *testing.T) {
	for name, price := range map[string]func(n int) int64{
		"check":       func(n int) int64 { return PriceOfCheck(41+n, false) },
		"aged check":  func(n int) int64 { return PriceOfCheck(41+n, true) },
		"short check": func(n int) int64 { return PriceOfShortCheck(n, false) },
		"additions":   func(n int) int64 { return PriceOfAdditions(n, 900, 30, true) },
		"groupings":   func(n int) int64 { return PriceOfGroupings(n, 0, false) },
		"placements":  func(n int) int64 { return PriceOfPlacements(n, 100, 500, false) },
	} {
		for n := range 199 {
			if price(n+1) <= price(n) {
				t.Errorf("%s: %d lines cost %d, one more %d", name, n, price(n), price(n+1))
			}
		}
	}
	if PriceOfCheck(12, false) > shortUnits {
		t.Error("a basket at the till is long work")
	}
}
