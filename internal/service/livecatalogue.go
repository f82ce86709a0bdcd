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
// into the database unless somebody loaded another one, or a later edition is there; otherwise an empty
// database stays empty, and the first book comes with the first load.
func (c *liveCatalogue) fill(ctx context.Context, offer bool) error {
	if !offer {
		_, err := c.refresh(ctx)
		if errors.Is(err, store.ErrNoCatalogue) {
			c.log.Warn("the database holds no catalogue: lookups wait for commensal catalogue load")
			return nil
		}
		return err
	}
	return c.offerBuiltIn(ctx)
}

// offerBuiltIn makes the built-in catalogue current, which changes nothing where it is already. What was
// loaded need not be read back. Where the database keeps another catalogue, that is the book.
func (c *liveCatalogue) offerBuiltIn(ctx context.Context) error {
	builtIn, revision, taken, err := offerBuiltIn(ctx, c.store, c.version, c.log)
	if err != nil {
		return err
	}
	if !taken {
		_, err := c.refresh(ctx)
		return err
	}
	book, err := MakeBook(revision, builtIn)
	if err != nil {
		return err
	}
	c.book.Store(book)
	return nil
}

// offerBuiltIn offers the built-in catalogue to a database. taken says that it is the current one there, as
// revision.
func offerBuiltIn(ctx context.Context, st *store.Store, version string, log *slog.Logger) (builtIn species.Catalogue, revision int64, taken bool, err error) {
	if builtIn, err = builtin.Catalogue(); err != nil {
		return builtIn, 0, false, err
	}
	edition, err := BuiltInEdition(version)
	if err != nil {
		return builtIn, 0, false, err
	}
	r, taken, changed, err := st.OfferCatalogue(ctx, builtIn, edition)
	if err != nil {
		return builtIn, 0, false, err
	}
	if changed {
		log.Info("loaded the built-in catalogue", "revision", r.Number, "edition", edition.Number)
	} else if !taken {
		log.Info("serving the catalogue of the database, not the built-in one", "revision", r.Number, "note", r.Note, "built_in", edition.Number)
	}
	return builtIn, r.Number, taken, nil
}

// OfferCatalogue offers the built-in catalogue to the database, as the service does at its start with
// [Settings.Migrate], and returns the revision that is then current. taken says that it holds the built-in one.
func OfferCatalogue(ctx context.Context, choice *Database, version string) (revision int64, taken bool, err error) {
	err = WithStore(ctx, choice, choice.Private(), func(st *store.Store) error {
		_, revision, taken, err = offerBuiltIn(ctx, st, version, slog.New(slog.DiscardHandler))
		return err
	})
	return revision, taken, err
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
