package store

import (
	"context"
	"errors"
	"sync/atomic"
	"time"

	"commensal/internal/evidence"

	"github.com/cenkalti/backoff/v5"
	"github.com/jackc/pgx/v5"
)

// Waits before a lost connection is made again: the first, and the longest.
const (
	firstRetry = 100 * time.Millisecond
	lastRetry  = 2 * time.Second // so soon after an outage a new revision is heard of
)

// Watch calls onRevision with the current revision and then whenever it is another,
// until ctx ends; it returns ctx's error and no other. It listens on a connection
// of its own, beside the pool, and makes it again when it is lost. Because a
// notification can be missed (a pooler between, a connection lost unnoticed), it
// also looks by itself once every Options.PollInterval.
//
// Of several loads in quick succession only the last may be seen. A number falls
// only when the database was put back to an older state by other means. onRevision runs on Watch's goroutine, and no news arrive while it does.
// With no catalogue loaded it is called at the first load.
func (s *Store) Watch(ctx context.Context, onRevision func(revision int64)) error {
	var last int64
	return s.watch(ctx, &watcher{store: s, channel: catalogueChannel, live: &s.watching, every: s.opts.PollInterval, look: func(ctx context.Context, conn *pgx.Conn) error {
		current, err := currentRevision(ctx, conn)
		if errors.Is(err, ErrNoCatalogue) {
			return nil
		}
		if err == nil && current.Number != last {
			last = current.Number
			onRevision(last)
		}
		return err
	}})
}

// WatchReports calls onChange with what is reported of all pairs and then whenever that
// is something else, as [Store.Watch] does with revisions of the catalogue. Reports that
// come in quick succession are told of together.
func (s *Store) WatchReports(ctx context.Context, onChange func(*evidence.Tallies)) error {
	var last *evidence.Tallies
	return s.watch(ctx, &watcher{store: s, channel: reportsChannel, live: new(atomic.Bool), every: patientPolls * s.opts.PollInterval, gather: gatherReports, look: func(ctx context.Context, conn *pgx.Conn) error {
		return pgx.BeginTxFunc(ctx, conn, pgx.TxOptions{BeginQuery: beginCounting}, func(tx pgx.Tx) error {
			tallies, err := countReports(ctx, tx)
			if err == nil && !tallies.Equal(last) {
				last = tallies
				onChange(last)
			}
			return err
		})
	}})
}

// gatherReports is for how long announcements are gathered before reports are counted
// anew, which costs the more the more there are.
const gatherReports = 100 * time.Millisecond

// patientPolls is how many times more seldom reports are counted unasked than the revision
// is looked up, which is one row: nobody is answered wrongly by a count of half a minute ago.
const patientPolls = 30

// watch runs sessions of a watcher until ctx ends.
func (s *Store) watch(ctx context.Context, w *watcher) error {
	waits := &backoff.ExponentialBackOff{InitialInterval: firstRetry, MaxInterval: lastRetry, Multiplier: 2}
	_, err := backoff.Retry(ctx, func() (struct{}, error) {
		heard, err := w.session(ctx) // it ends with the connection; why does not matter
		if heard {
			waits.Reset()
		}
		return struct{}{}, err
	}, backoff.WithBackOff(waits), backoff.WithMaxElapsedTime(0))
	return err
}

// Watching reports whether [Store.Watch] is in touch with the database, so that a new
// revision would be heard of. A connection that died without a word is found out after
// Options.PollInterval and Options.ConnectTimeout at the latest.
func (s *Store) Watching() bool { return s.watching.Load() }

// watcher listens on a channel and looks at what is announced there.
type watcher struct {
	store   *Store
	channel string
	every   time.Duration // it looks by itself
	gather  time.Duration // after an announcement, before a look
	live    *atomic.Bool  // set while a session hears and sees
	look    func(ctx context.Context, conn *pgx.Conn) error
}

// session listens on one connection until it fails. heard reports whether it
// worked at first.
func (w *watcher) session(ctx context.Context) (heard bool, err error) {
	conn, err := pgx.ConnectConfig(ctx, w.store.watched)
	if err != nil {
		return false, err
	}
	defer func() {
		w.live.Store(false)
		closeCtx, cancel := context.WithTimeout(context.WithoutCancel(ctx), time.Second)
		defer cancel()
		_ = conn.Close(closeCtx) // there is nothing left to lose
	}()
	// Listen first and look afterwards, so that nothing falls between.
	if _, err := conn.Exec(ctx, `LISTEN `+w.channel); err != nil {
		return false, err
	}
	for {
		if err := w.lookInTime(ctx, conn); err != nil {
			return heard, err
		}
		heard = true
		w.live.Store(true)
		if err := w.wait(ctx, conn); err != nil {
			return heard, err
		}
	}
}

// lookInTime looks, bounded in time so that a dead connection is noticed. A database
// without tables has nothing to see yet.
func (w *watcher) lookInTime(ctx context.Context, conn *pgx.Conn) error {
	ctx, cancel := context.WithTimeout(ctx, w.store.opts.ConnectTimeout)
	defer cancel()
	if err := w.look(ctx, conn); !hasCode(err, undefinedTable) {
		return err
	}
	return nil
}

// wait returns when it is time to look: at a notification, or after the interval.
// What the notification says does not count, for anybody may notify.
func (w *watcher) wait(ctx context.Context, conn *pgx.Conn) error {
	announced, err := notified(ctx, conn, w.every)
	for end := time.Now().Add(w.gather); announced && err == nil; {
		announced, err = notified(ctx, conn, time.Until(end))
	}
	return err
}

// notified waits for one notification, at most for a time.
func notified(ctx context.Context, conn *pgx.Conn, most time.Duration) (bool, error) {
	if most <= 0 {
		return false, nil
	}
	waitCtx, cancel := context.WithTimeout(ctx, most)
	defer cancel()
	_, err := conn.WaitForNotification(waitCtx)
	switch {
	case ctx.Err() != nil:
		return false, ctx.Err()
	case err != nil && waitCtx.Err() != nil && !conn.IsClosed():
		return false, nil
	}
	return err == nil, err
}
