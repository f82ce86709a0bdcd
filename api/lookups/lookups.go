// Package lookups answers what is asked of species and of pairings: explained pairings, the matrix of many, rankings,
// searches. It touches no database.
package lookups

import (
	"commensal/api/respond"
	"commensal/internal/evidence"
)

// Lookups answers what is asked of species and pairings. Nothing in it touches the database.
type Lookups struct {
	books    respond.Books
	reported func() *evidence.Tallies
	asked    asked
}

// New makes the room. reported gives what keepers report of every pair; nil, and a nil
// result, mean that nothing is known of that. The encoded answers take at most so many bytes.
func New(books respond.Books, reported func() *evidence.Tallies, cacheBytes int64) *Lookups {
	return &Lookups{books: books, reported: reported, asked: asked{books: books, most: cacheBytes}}
}

// CachedBytes is about what the encoded answers take.
func (s *Lookups) CachedBytes() uint64 { return s.asked.bytes() }
