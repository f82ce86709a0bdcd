package service

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"sync"
	"sync/atomic"
	"time"

	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/species/catalogue/builtin"
	"commensal/internal/store"

	"github.com/cenkalti/backoff/v5"
)

// liveCatalogue holds the book that lookups are answered from. A new catalogue revision
// swaps it as a whole; a request under way goes on with the one it began with.
type liveCatalogue struct {
	store   *store.Store
	log     *slog.Logger
	version string // of the program, for the note of what it loads
	book    atomic.Pointer[conflict.Book]
	swap    sync.Mutex // held while a book is made, so that an older one does not follow a newer
	// behind is set while a newer revision is known and cannot be read.
	behind atomic.Bool
}

// current is the book, nil before the first catalogue.
func (c *liveCatalogue) current() *conflict.Book { return c.book.Load() }

// stale reports whether there may be a newer revision than that of the book.
func (c *liveCatalogue) stale() bool { return c.behind.Load() || !c.store.Watching() }

// fill makes the first book. Where offer is set, the built-in catalogue is loaded
// into the database unless somebody loaded another one; otherwise an empty database
// stays empty, and the first book comes with the first load.
func (c *liveCatalogue) fill(ctx context.Context, offer bool) error {
	if !offer {
		_, err := c.refresh(ctx)
		if errors.Is(err, store.ErrNoCatalogue) {
			c.log.Warn("the database holds no catalogue: lookups wait for commensal catalogue load")
			return nil
		}
		return err
	}
	newest, err := c.store.Revisions(ctx, 1)
	if err != nil {
		return err
	}
	if len(newest) > 0 && (newest[0].KeyID != "" || !isBuiltIn(newest[0].Note)) {
		c.log.Info("serving the catalogue that was loaded, not the built-in one", "revision", newest[0].Number, "note", newest[0].Note)
		_, err := c.refresh(ctx)
		return err
	}
	return c.loadBuiltIn(ctx)
}

// loadBuiltIn makes the built-in catalogue current, which changes nothing where it is
// already. What was loaded need not be read back.
func (c *liveCatalogue) loadBuiltIn(ctx context.Context) error {
	builtIn, err := builtin.Catalogue()
	if err != nil {
		return err
	}
	revision, changed, err := c.store.LoadCatalogue(ctx, builtIn, BuiltInNote(c.version))
	if err != nil {
		return err
	}
	if changed {
		c.log.Info("loaded the built-in catalogue", "revision", revision)
	}
	book, err := MakeBook(revision, builtIn)
	if err != nil {
		return err
	}
	c.book.Store(book)
	return nil
}

// take makes a revision the book that this replica made itself, without reading it back.
// Should that fail, what follows the database tries again, and says so.
func (c *liveCatalogue) take(revision int64, made species.Catalogue) {
	c.swap.Lock()
	defer c.swap.Unlock()
	if old := c.book.Load(); old != nil && old.Snapshot.Revision() >= revision {
		return
	}
	book, err := MakeBook(revision, made)
	if err != nil {
		c.log.Error("the revision made here cannot be used", "revision", revision, "error", err)
		return
	}
	c.book.Store(book)
	c.log.Info("made a catalogue revision", "revision", revision, "species", book.Snapshot.Len())
}

// refresh makes the current revision the book, if it is another one.
func (c *liveCatalogue) refresh(ctx context.Context) (changed bool, err error) {
	c.swap.Lock()
	defer c.swap.Unlock()
	revision, err := c.store.CurrentRevision(ctx)
	if err != nil {
		return false, err
	}
	if old := c.book.Load(); old != nil && old.Snapshot.Revision() == revision {
		return false, nil
	}
	read, err := c.store.Catalogue(ctx, revision)
	if err != nil {
		return false, err
	}
	book, err := MakeBook(revision, read)
	if err != nil {
		return false, fmt.Errorf("catalogue revision %d: %w", revision, err)
	}
	c.book.Store(book)
	return true, nil
}

// Waits between attempts to read a new revision: the first, and the longest.
const (
	firstReread = 200 * time.Millisecond
	lastReread  = 30 * time.Second
)

// follow swaps the book at every new revision until ctx ends. A revision that cannot
// be read is tried again, and the old book answers meanwhile.
func (c *liveCatalogue) follow(ctx context.Context) {
	_ = c.store.Watch(ctx, func(int64) { // it ends with ctx and for no other reason
		changed, err := backoff.Retry(ctx, func() (bool, error) {
			changed, err := c.refresh(ctx)
			c.behind.Store(err != nil)
			return changed, err
		}, growing(firstReread, lastReread), forever, backoff.WithNotify(func(err error, next time.Duration) {
			c.log.Error("the new catalogue revision cannot be used; the old one still answers", "error", err, "next", next)
		}))
		if err == nil && changed {
			s := c.current().Snapshot
			c.log.Info("new catalogue revision", "revision", s.Revision(), "species", s.Len())
		}
	})
}
