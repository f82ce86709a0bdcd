package replica

import (
	"context"
	"errors"
	"strconv"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgxpool"
)

// Lease is a connection to the replica with a transaction open on it, until Served or Failed.
type Lease struct {
	of   *Replica
	conn *pgxpool.Conn
}

// Conn is the connection.
func (l *Lease) Conn() *pgx.Conn { return l.conn.Conn() }

// Served gives the connection back after a read, whatever it found.
func (l *Lease) Served() {
	l.of.reads.Add(1)
	l.conn.Release()
}

// Failed gives the connection back after a read that is made on the primary now. gone says that the replica does not
// answer, as opposed to having refused.
func (l *Lease) Failed(gone bool) {
	l.conn.Release()
	l.of.count(Failed)
	if gone {
		l.of.foundGone()
	}
}

// errLate says that the replica has not got there in time.
var errLate = errors.New("replica: it does not have yet what was committed")

// Begin opens a transaction on the replica with SQL that begins a read-only one at the level read committed. What is
// read in it has everything that was committed on the primary before the call. Nil means that the read is to be made
// on the primary; why is counted.
func (r *Replica) Begin(ctx context.Context, sql string) *Lease {
	if why := r.hopeless(0); why != "" {
		r.count(why)
		return nil
	}
	within, cancel := context.WithTimeout(ctx, r.opts.Patience)
	defer cancel()
	need, err := r.asker.position(within)
	if err != nil {
		r.count(Unasked)
		return nil
	}
	if why := r.hopeless(need); why != "" {
		r.count(why)
		return nil
	}
	lease, why := r.take(within, sql, need)
	if why != "" {
		if why == Gone && ctx.Err() == nil {
			r.foundGone()
		}
		r.count(why)
	}
	return lease
}

// take opens a transaction that has everything up to a position.
func (r *Replica) take(ctx context.Context, sql string, need Position) (*Lease, Reason) {
	conn, err := r.acquire(ctx)
	if err != nil {
		if r.full() {
			return nil, Busy
		}
		return nil, Gone
	}
	at, err := begin(ctx, conn.Conn(), sql)
	if err == nil {
		at, err = r.await(ctx, conn.Conn(), at, need)
	}
	if err == nil {
		r.came(at, false)
		return &Lease{r, conn}, ""
	}
	defer conn.Release()
	if errors.Is(err, errLate) {
		_, _ = conn.Exec(ctx, "rollback") // where that fails the pool closes the connection
		r.came(at, true)
		return nil, Behind
	}
	return nil, Gone
}

// acquire waits for a connection no longer than for the position.
func (r *Replica) acquire(ctx context.Context) (*pgxpool.Conn, error) {
	if r.full() {
		short, cancel := context.WithTimeout(ctx, r.opts.Wait)
		defer cancel()
		ctx = short
	}
	return r.pool.Acquire(ctx)
}

// begin opens the transaction and asks how far the replica is, in one message. The position is that of this very
// connection: an address may lead to one of several replicas.
func begin(ctx context.Context, conn *pgx.Conn, sql string) (Position, error) {
	results, err := conn.PgConn().Exec(ctx, sql+"; "+standbySQL).ReadAll()
	if err != nil {
		return 0, err
	}
	return read(results[len(results)-1].Rows)
}

func read(rows [][][]byte) (Position, error) {
	if len(rows) != 1 || len(rows[0]) != 1 {
		return 0, errors.New("replica: no position")
	}
	n, err := strconv.ParseInt(string(rows[0][0]), 10, 64)
	return Position(n), known(Position(n), err)
}

// known makes an error of a server that is no standby: that of the past, perhaps, which nobody follows any more.
func known(at Position, err error) error {
	if err == nil && at == notStandby {
		err = errors.New("replica: the server is no standby")
	}
	return err
}

// Between two questions for the position lies the first pause, and twice as long each time up to the longest.
const firstPause, longestPause = time.Millisecond, 8 * time.Millisecond

// await waits until the replica is at a position. Each statement of the transaction sees what was replayed before
// it, so the wait may be inside.
func (r *Replica) await(ctx context.Context, conn *pgx.Conn, at, need Position) (Position, error) {
	end := time.Now().Add(r.opts.Wait)
	for pause := firstPause; at < need; pause = min(2*pause, longestPause) {
		if time.Now().After(end) {
			return at, errLate
		}
		select {
		case <-ctx.Done():
			return at, ctx.Err()
		case <-time.After(pause):
		}
		var err error
		if at, err = ofStandby(ctx, conn); known(at, err) != nil {
			return 0, known(at, err)
		}
	}
	return at, nil
}
