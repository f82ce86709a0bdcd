package store

import (
	"context"
	"errors"
	"time"

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
	w := &watcher{store: s, tell: onRevision}
	retry := firstRetry
	for {
		heard, _ := w.session(ctx) // the connection is lost; why does not matter
		if ctx.Err() != nil {
			return ctx.Err()
		}
		if heard {
			retry = firstRetry
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(retry):
		}
		retry = min(2*retry, lastRetry)
	}
}

// Watching reports whether [Store.Watch] is in touch with the database, so that a new
// revision would be heard of. A connection that died without a word is found out after
// Options.PollInterval and Options.ConnectTimeout at the latest.
func (s *Store) Watching() bool { return s.watching.Load() }

// watcher remembers the last revision told across connections.
type watcher struct {
	store *Store
	tell  func(int64)
	last  int64
}

// session listens on one connection until it fails. heard reports whether it
// worked at first.
func (w *watcher) session(ctx context.Context) (heard bool, err error) {
	config := w.store.pool.Config().ConnConfig
	conn, err := pgx.ConnectConfig(ctx, config)
	if err != nil {
		return false, err
	}
	defer func() {
		w.store.watching.Store(false)
		closeCtx, cancel := context.WithTimeout(context.WithoutCancel(ctx), time.Second)
		defer cancel()
		_ = conn.Close(closeCtx) // there is nothing left to lose
	}()
	// Listen first and look afterwards, so that nothing falls between.
	if _, err := conn.Exec(ctx, `LISTEN `+catalogueChannel); err != nil {
		return false, err
	}
	for {
		if err := w.look(ctx, conn); err != nil {
			return heard, err
		}
		heard = true
		w.store.watching.Store(true)
		if err := w.wait(ctx, conn); err != nil {
			return heard, err
		}
	}
}

// look reads the current revision, bounded in time so that a dead connection is
// noticed.
func (w *watcher) look(ctx context.Context, conn *pgx.Conn) error {
	ctx, cancel := context.WithTimeout(ctx, w.store.opts.ConnectTimeout)
	defer cancel()
	current, err := currentRevision(ctx, conn)
	if errors.Is(err, ErrNoCatalogue) || hasCode(err, undefinedTable) {
		return nil
	}
	if err == nil && current.Number != w.last {
		w.last = current.Number
		w.tell(current.Number)
	}
	return err
}

// wait returns when it is time to look: at a notification, or after the interval.
// What the notification says does not count, for anybody may notify.
func (w *watcher) wait(ctx context.Context, conn *pgx.Conn) error {
	waitCtx, cancel := context.WithTimeout(ctx, w.store.opts.PollInterval)
	defer cancel()
	_, err := conn.WaitForNotification(waitCtx)
	switch {
	case ctx.Err() != nil:
		return ctx.Err()
	case err != nil && waitCtx.Err() != nil && !conn.IsClosed():
		return nil
	}
	return err
}
