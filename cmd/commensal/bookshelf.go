package main

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
	"commensal/internal/store"
)

// bookshelf holds the book that lookups are answered from. A new catalogue revision
// swaps it as a whole, under the feet of nobody.
type bookshelf struct {
	store *store.Store
	log   *slog.Logger
	book  atomic.Pointer[conflict.Book]
	swap  sync.Mutex // held while a book is made, so that an older one does not follow a newer
	// behind is set while a newer revision is known and cannot be read.
	behind atomic.Bool
}

// current is the book, nil before the first catalogue.
func (b *bookshelf) current() *conflict.Book { return b.book.Load() }

// stale reports whether there may be a newer revision than that of the book.
func (b *bookshelf) stale() bool { return b.behind.Load() || !b.store.Watching() }

// fill makes the first book. Where offer is set, the built-in catalogue is loaded
// into the database unless somebody loaded another one; otherwise an empty database
// stays empty, and the first book comes with the first load.
func (b *bookshelf) fill(ctx context.Context, offer bool) error {
	if !offer {
		_, err := b.refresh(ctx)
		if errors.Is(err, store.ErrNoCatalogue) {
			b.log.Warn("the database holds no catalogue: lookups wait for commensal catalogue load")
			return nil
		}
		return err
	}
	newest, err := b.store.Revisions(ctx, 1)
	if err != nil {
		return err
	}
	if len(newest) > 0 && (newest[0].KeyID != "" || !isBuiltIn(newest[0].Note)) {
		b.log.Info("serving the catalogue that was loaded, not the built-in one", "revision", newest[0].Number, "note", newest[0].Note)
		_, err := b.refresh(ctx)
		return err
	}
	return b.loadBuiltIn(ctx)
}

// loadBuiltIn makes the built-in catalogue current, which changes nothing where it is
// already. What was loaded need not be read back.
func (b *bookshelf) loadBuiltIn(ctx context.Context) error {
	c, err := readCatalogue("")
	if err != nil {
		return err
	}
	revision, changed, err := b.store.LoadCatalogue(ctx, c, noteForBuiltIn())
	if err != nil {
		return err
	}
	if changed {
		b.log.Info("loaded the built-in catalogue", "revision", revision)
	}
	book, err := makeBook(revision, c)
	if err != nil {
		return err
	}
	b.book.Store(book)
	return nil
}

// take makes a revision the book that this replica made itself, without reading it back.
// Should that fail, what follows the database tries again, and says so.
func (b *bookshelf) take(revision int64, c species.Catalogue) {
	b.swap.Lock()
	defer b.swap.Unlock()
	if old := b.book.Load(); old != nil && old.Snapshot.Revision() >= revision {
		return
	}
	book, err := makeBook(revision, c)
	if err != nil {
		b.log.Error("the revision made here cannot be used", "revision", revision, "error", err)
		return
	}
	b.book.Store(book)
	b.log.Info("made a catalogue revision", "revision", revision, "species", book.Snapshot.Len())
}

// refresh makes the current revision the book, if it is another one.
func (b *bookshelf) refresh(ctx context.Context) (changed bool, err error) {
	b.swap.Lock()
	defer b.swap.Unlock()
	revision, err := b.store.CurrentRevision(ctx)
	if err != nil {
		return false, err
	}
	if old := b.book.Load(); old != nil && old.Snapshot.Revision() == revision {
		return false, nil
	}
	c, err := b.store.Catalogue(ctx, revision)
	if err != nil {
		return false, err
	}
	book, err := makeBook(revision, c)
	if err != nil {
		return false, fmt.Errorf("catalogue revision %d: %w", revision, err)
	}
	b.book.Store(book)
	return true, nil
}

// Waits between attempts to read a new revision: the first, and the longest.
const (
	firstReread = 200 * time.Millisecond
	lastReread  = 30 * time.Second
)

// follow swaps the book at every new revision until ctx ends. A revision that cannot
// be read is tried again, and the old book answers meanwhile.
func (b *bookshelf) follow(ctx context.Context) {
	_ = b.store.Watch(ctx, func(int64) { // it ends with ctx and for no other reason
		for wait := firstReread; ; wait = min(2*wait, lastReread) {
			changed, err := b.refresh(ctx)
			b.behind.Store(err != nil)
			if err == nil {
				if changed {
					s := b.current().Snapshot
					b.log.Info("new catalogue revision", "revision", s.Revision(), "species", s.Len())
				}
				return
			}
			if ctx.Err() != nil {
				return
			}
			b.log.Error("the new catalogue revision cannot be used; the old one still answers", "error", err)
			select {
			case <-ctx.Done():
				return
			case <-time.After(wait):
			}
		}
	})
}
