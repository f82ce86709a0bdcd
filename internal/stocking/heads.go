package stocking

import "commensal/internal/conflict"

// Heads is the number of fish that a line stands for: its count, else the customary
// group, at least one. The line's species must be in the book.
func Heads(book *conflict.Book, l *Line) int { return heads(book.Snapshot.At(l.Index), l) }
