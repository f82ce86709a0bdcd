package respond

import (
	"encoding/base64"

	"commensal/internal/conflict"
)

// Books gives the book that answers are made from, and the entity tags of those answers.
type Books struct {
	// Current gives the book of the moment; nil means that no catalogue is loaded yet.
	Current func() *conflict.Book
	// Version is the version of the program, part of every entity tag.
	Version string
}

// Book is the book of the moment, or the problem that there is none.
func (b Books) Book() (*conflict.Book, error) {
	book := b.Current()
	if book == nil {
		return nil, errNotReady
	}
	return book, nil
}

// Tag is the strong entity tag of an answer: a hash of everything the answer is
// made from, namely program, model, catalogue revision, and the canonical path and
// query. Equal requests of different spelling have equal tags.
func (b Books) Tag(book *conflict.Book, canonical string) string {
	return b.TagUnder(book, book.Snapshot.Revision(), canonical)
}

// TagUnder is the entity tag that an answer has under another revision of the catalogue.
func (b Books) TagUnder(book *conflict.Book, revision int64, canonical string) string {
	sum := digest(b.Version, book.Model.Version(), revision, canonical)
	return `"` + base64.RawURLEncoding.EncodeToString(sum[:18]) + `"`
}
