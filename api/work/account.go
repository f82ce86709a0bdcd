package work

import (
	"context"
	"errors"
	"sync/atomic"
	"time"

	"commensal/internal/admission"
)

// Account is what one request cost, and where it has its place. The middleware opens it, the desk fills it in.
type Account struct {
	units   atomic.Int64
	waited  atomic.Int64 // nanoseconds
	refused atomic.Bool

	opened  bool
	patient bool                           // its client waits for each answer before it sends more
	known   atomic.Bool                    // it was let in before
	seat    atomic.Pointer[admission.Pass] // that it holds; nil for none
}

// Open makes an account for a request.
func Open() *Account { return &Account{opened: true} }

// Rise gives back the place that the request holds, if it does.
func (a *Account) Rise() { a.seat.Swap(nil).Leave() }

// turnedAway notes why there was no place, and says so.
func (a *Account) turnedAway(why error) error {
	if errors.Is(why, admission.ErrRefused) {
		a.refused.Store(true)
	}
	return overloaded
}

// Units is the work done, in units of package budget.
func (a *Account) Units() int64 { return a.units.Load() }

// Waited is how long the work waited to begin.
func (a *Account) Waited() time.Duration { return time.Duration(a.waited.Load()) }

// Refused reports that there was no room for the work.
func (a *Account) Refused() bool { return a.refused.Load() }

type accountKey struct{}

// With opens an account for a request.
func With(ctx context.Context, a *Account) context.Context {
	return context.WithValue(ctx, accountKey{}, a)
}

// Patiently says that whoever sends a request waits for the answer to each part of it before more is read: it waits longer.
func Patiently(ctx context.Context) { accountOf(ctx).patient = true }

// Spent is the work done for a request so far, in units of package budget.
func Spent(ctx context.Context) int64 { return accountOf(ctx).Units() }

// Count puts work that needs no desk on the request's account.
func Count(ctx context.Context, units int64) { accountOf(ctx).units.Add(units) }

// accountOf is the request's account; one that nobody reads where none was opened.
func accountOf(ctx context.Context) *Account {
	if a, ok := ctx.Value(accountKey{}).(*Account); ok {
		return a
	}
	return &Account{}
}
