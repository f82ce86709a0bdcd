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
	d := newDesk(100, 2)
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

func TestLongWorkLeavesAProcessorToShortWork(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		d := newDesk(0, 4)
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
	d := newDesk(0, 16)
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
