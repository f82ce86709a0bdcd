package api

import (
	"os"
	"sync"
	"testing"
	"time"

	"commensal/db"
	"commensal/internal/conflict"
	"commensal/internal/species"
	"commensal/internal/species/catalogue"
)

// fewBook is ten species and two trade words that no other test changes, under the
// starting weights, so that expected values stand still.
var fewBook = sync.OnceValues(func() (*conflict.Book, error) {
	cat, err := catalogue.Parse(os.DirFS("testdata/catalogue"))
	if err != nil {
		return nil, err
	}
	return bookOf(cat, 7)
})

// fullBook is the built-in catalogue.
var fullBook = sync.OnceValues(func() (*conflict.Book, error) {
	cat, err := catalogue.Parse(db.CatalogueFS())
	if err != nil {
		return nil, err
	}
	return bookOf(cat, 1)
})

func bookOf(cat species.Catalogue, revision int64) (*conflict.Book, error) {
	snap, err := species.NewSnapshot(revision, cat)
	if err != nil {
		return nil, err
	}
	m, err := conflict.New(conflict.StartingWeights())
	if err != nil {
		return nil, err
	}
	return conflict.NewBook(m, snap), nil
}

func few(t testing.TB) *conflict.Book {
	t.Helper()
	return must(t)(fewBook())
}

func full(t testing.TB) *conflict.Book {
	t.Helper()
	return must(t)(fullBook())
}

func must(t testing.TB) func(*conflict.Book, error) *conflict.Book {
	return func(b *conflict.Book, err error) *conflict.Book {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return b
	}
}

// serverOf makes a server on a book with the given changes to its settings.
func serverOf(t testing.TB, book *conflict.Book, change ...func(*Config)) *Server {
	t.Helper()
	cfg := Config{Book: func() *conflict.Book { return book }, Version: "test"}
	for _, c := range change {
		c(&cfg)
	}
	s, err := New(cfg)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// clock is a clock that tests turn.
type clock struct {
	mu  sync.Mutex
	now time.Time
}

func newClock() *clock { return &clock{now: time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)} }

func (c *clock) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.now
}

func (c *clock) turn(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now = c.now.Add(d)
}
