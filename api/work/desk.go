package work

import (
	"context"
	"runtime"
	"strconv"
	"time"

	"commensal/api/respond"
	"commensal/internal/admission"
	"commensal/internal/budget"
)

// The measures of work, in units of package budget: a unit is a pairing scored, about a
// microsecond of one processor.
const (
	// Lookup is what costs as much as a lookup: about a millisecond of one processor.
	Lookup = 1000
	// DefaultLimit is the budget of one request: about half a second of one processor, two on a
	// slow one. The longest list that is judged in full takes about half of it.
	DefaultLimit = 600_000
	// shortUnits is the most that counts as short: some ten milliseconds.
	shortUnits = 15_000
	// longUnits is what weighs one place in the long lane; dearer work takes several, so
	// that on a large machine it leaves places to what is less dear.
	longUnits = 200_000
)

// How long work waits to begin, and how much of it.
const (
	shortPatience = 500 * time.Millisecond
	longPatience  = 2 * time.Second
	longRush      = 500 * time.Millisecond
	// shortWaiting and longWaiting are how many pieces of work may wait for each processor: short work has its body in
	// memory and nothing else yet, long work all that was made of it.
	shortWaiting = 128
	longWaiting  = 32
	// bytesEach is how many bytes of a body are read into values and held against the contract for a unit.
	bytesEach = 10
)

// retryAfter is when whoever was refused should come again.
const retryAfter = 2 * time.Second

// Desk lets work begin. It is safe for concurrent use.
type Desk struct {
	limit       int64
	short, long *admission.Gate
}

// New makes a desk for as many processors as Go runs on; a limit of 0 is DefaultLimit.
func New(limit int64) *Desk { return NewOn(0, limit) }

// NewOn is New for so many processors; 0 is as many as Go runs on.
func NewOn(processors int, limit int64) *Desk {
	if limit <= 0 {
		limit = DefaultLimit
	}
	if processors <= 0 {
		processors = runtime.GOMAXPROCS(0)
	}
	return &Desk{limit: limit,
		short: admission.New(admission.Options{Capacity: int64(processors), Waiting: shortWaiting * processors, Patience: shortPatience}),
		long:  admission.New(admission.Options{Capacity: int64(max(1, processors-1)), Waiting: longWaiting * processors, Patience: longPatience, Rush: longRush})}
}

// Limit is how much one list may cost, in units.
func (d *Desk) Limit() int64 { return d.limit }

// Sit waits for a place of short work and holds it for the request, from before its body of so many bytes is read into
// values, which is counted: what is refused has cost next to nothing. [Desk.Begin] takes the place over, and [Rise] gives it back. It
// does nothing for a request without an account.
func (d *Desk) Sit(ctx context.Context, bytes int) error {
	account := accountOf(ctx)
	if !account.opened {
		return nil
	}
	if account.seat.Load() == nil {
		pass, err := d.enterShort(ctx, account)
		if err != nil {
			return err
		}
		account.seat.Store(pass)
	}
	account.units.Add(int64(bytes) / bytesEach)
	return nil
}

// Rise gives back the place that a request holds, because it waits for something else than a processor, or is done. It will
// be let in again before others.
func Rise(ctx context.Context) { accountOf(ctx).Rise() }

// enterShort waits for a place of short work.
func (d *Desk) enterShort(ctx context.Context, account *Account) (pass *admission.Pass, err error) {
	enter := d.short.Enter
	switch {
	case account.known.Load():
		enter = d.short.Return
	case account.patient:
		enter = d.short.EnterPatiently
	}
	if pass, err = enter(ctx, 1); err != nil {
		return nil, account.turnedAway(err)
	}
	account.known.Store(!account.patient)
	account.waited.Add(int64(pass.Waited))
	return pass, nil
}

// Job is work under way.
type Job struct {
	// Budget is how much it may take. It is stopped when nobody waits any more.
	Budget  *budget.Budget
	account *Account
	pass    *admission.Pass
	forget  func() bool
}

// Begin waits until work that is likely to take so many units may begin. It is given
// back with Done. While there is no room the problem is 503 with Retry-After.
func (d *Desk) Begin(ctx context.Context, likely int64) (*Job, error) {
	account := accountOf(ctx)
	pass, err := d.place(ctx, account, likely)
	if err != nil {
		return nil, err
	}
	b := budget.New(d.limit)
	return &Job{Budget: b, account: account, pass: pass, forget: context.AfterFunc(ctx, b.Stop)}, nil
}

// place is where work is done that is likely to take so many units: for short work where the request sits already.
func (d *Desk) place(ctx context.Context, account *Account, likely int64) (*admission.Pass, error) {
	if likely <= shortUnits {
		if seat := account.seat.Swap(nil); seat != nil {
			return seat, nil
		}
		return d.enterShort(ctx, account)
	}
	account.Rise()
	enter := d.long.Enter
	if account.patient {
		enter = d.long.EnterPatiently
	}
	pass, err := enter(ctx, 1+min(likely, d.limit)/longUnits)
	if err != nil {
		return nil, account.turnedAway(err)
	}
	account.waited.Add(int64(pass.Waited))
	return pass, nil
}

var overloaded = &respond.Fault{Slug: respond.Overloaded, Detail: "More is asked for than can be answered at present.",
	Header: map[string]string{"Retry-After": strconv.Itoa(int(retryAfter / time.Second))}}

// Done ends a job and puts what it cost on the request's account.
func (j *Job) Done() {
	j.forget()
	j.pass.Leave()
	j.account.units.Add(j.Budget.Spent())
}

// Gone reports that nobody waits for the job's result any more: it is not worth putting
// into words, and is not right either.
func (j *Job) Gone() bool { return j.Budget.Stopped() }

// Lanes tells how busy the two lanes are.
func (d *Desk) Lanes() (short, long admission.State) { return d.short.State(), d.long.State() }
