package respond

import (
	"math"
	"sync/atomic"

	"commensal/internal/conflict"

	"github.com/maypok86/otter/v2"
)

// Cache holds encoded answers by what was asked, for as long as the book that they were made
// from is current. It is bounded by their bytes; which answers go first is the library's choice, by
// how often and how lately they were asked for. It is safe for concurrent use.
type Cache[K comparable] struct {
	most    uint64 // bytes; 0 holds nothing
	books   Books
	present atomic.Pointer[cached[K]]
}

// cached are the answers made from one book.
type cached[K comparable] struct {
	book    *conflict.Book
	answers *otter.Cache[K, *Reply]
}

// NewCache makes a cache of at most so many bytes. None, or less, holds nothing.
func NewCache[K comparable](books Books, most int64) *Cache[K] {
	return &Cache[K]{books: books, most: uint64(max(0, most))}
}

// Get is the answer made from a book before.
func (c *Cache[K]) Get(book *conflict.Book, key K) (*Reply, bool) {
	if now := c.present.Load(); now != nil && now.book == book {
		return now.answers.GetIfPresent(key)
	}
	return nil, false
}

// Put caches an answer, which nobody changes from then on.
func (c *Cache[K]) Put(book *conflict.Book, key K, answer *Reply) {
	if c.most == 0 {
		return
	}
	now := c.present.Load()
	switch {
	case now != nil && now.book == book:
	case c.books.Current() != book: // a request that began before the last change of the catalogue
		return
	default:
		fresh := otter.Must(&otter.Options[K, *Reply]{MaximumWeight: c.most, Weigher: weight[K]})
		now = &cached[K]{book, fresh}
		c.present.Store(now) // another one of the same moment is lost, and with it one answer
	}
	now.answers.Set(key, answer)
}

// Bytes is about what the answers take.
func (c *Cache[K]) Bytes() uint64 {
	now := c.present.Load()
	if now == nil {
		return 0
	}
	now.answers.CleanUp()
	return now.answers.WeightedSize()
}

// BesideBody is about what an answer takes beside its body: key, headers, those of its 304, and the library's entry.
const BesideBody = 2 << 10

// weight is what an answer takes in bytes.
func weight[K comparable](_ K, answer *Reply) uint32 {
	return uint32(min(len(answer.Body)+BesideBody, math.MaxUint32))
}
