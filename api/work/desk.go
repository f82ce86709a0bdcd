package work

import (
	"context"
	"errors"
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
	// waitingEach is how many pieces of work may wait for each processor: each holds its
	// request in memory, up to a few megabytes.
	waitingEach = 32
)

// retryAfter is when whoever was refused should come again.
const retryAfter = 2 * time.Second

// Desk lets work begin. It is safe for concurrent use.
type Desk struct {
	limit       int64
	short, long *admission.Gate
}

// New makes a desk for the processors of this process; a limit of 0 is DefaultLimit.
func New(limit int64) *Desk { return newDesk(limit, runtime.GOMAXPROCS(0)) }

func newDesk(limit int64, processors int) *Desk {
	if limit <= 0 {
		limit = DefaultLimit
	}
	lane := func(places int, patience time.Duration) *admission.Gate {
		return admission.New(admission.Options{Capacity: int64(places), Waiting: waitingEach * processors, Patience: patience})
	}
	return &Desk{limit: limit, short: lane(processors, shortPatience), long: lane(max(1, processors-1), longPatience)}
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
	lane, weight := d.short, int64(1)
	if likely > shortUnits {
		lane, weight = d.long, 1+min(likely, d.limit)/longUnits
	}
	pass, err := lane.Enter(ctx, weight)
	if err != nil {
		account.refused.Store(errors.Is(err, admission.ErrRefused))
		return nil, overloaded
	}
	account.waited.Add(int64(pass.Waited))
	b := budget.New(d.limit)
	return &Job{Budget: b, account: account, pass: pass, forget: context.AfterFunc(ctx, b.Stop)}, nil
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
