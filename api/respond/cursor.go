package respond

import (
	"encoding/base64"
	"encoding/binary"
	"net/url"
	"strconv"

	"commensal/internal/conflict"
)

// cursorVersion is the first byte of a cursor; another layout gets another number.
const cursorVersion = 1

// listOf is a list that cursors may continue: everything its order and content depend
// on, namely model, catalogue revision, and path and filters.
type listOf [8]byte

func ListID(book *conflict.Book, canonical string) (id listOf) {
	sum := digest("cursor", book.Model.Version(), book.Snapshot.Revision(), canonical)
	copy(id[:], sum[:])
	return id
}

// cursorAt is the opaque cursor of a place in a list.
func cursorAt(list listOf, offset int) string {
	raw := append([]byte{cursorVersion}, list[:]...)
	return base64.RawURLEncoding.EncodeToString(binary.AppendUvarint(raw, uint64(offset)))
}

// readCursor is the place that a cursor means in a list of the given length; the
// beginning for none.
func readCursor(text *string, list listOf, length int) (offset int, err error) {
	if text == nil {
		return 0, nil
	}
	raw, ok := cursorBytes(*text)
	if !ok || len(raw) < 2+len(list) || raw[0] != cursorVersion {
		return 0, BadCursor("The cursor is damaged.")
	}
	if listOf(raw[1:1+len(list)]) != list {
		return 0, BadCursor("The cursor belongs to another list: other filters, or an older state of the catalogue.")
	}
	// A number can be written with needless bytes; what is written here never has any.
	at, _ := binary.Uvarint(raw[1+len(list):])
	if at == 0 || at >= uint64(length) || cursorAt(list, int(at)) != *text {
		return 0, BadCursor("The cursor is damaged.")
	}
	return int(at), nil
}

// cursorBytes are the bytes of a cursor; ok is false where the text is not the one that these bytes
// are written as: the decoder passes over line breaks.
func cursorBytes(text string) (raw []byte, ok bool) {
	raw, err := base64.RawURLEncoding.Strict().DecodeString(text)
	return raw, err == nil && base64.RawURLEncoding.EncodeToString(raw) == text
}

func BadCursor(detail string) error {
	return &Fault{Slug: InvalidCursor, Detail: detail,
		Entries: Fields(AtQuery("cursor", detail, "leave the cursor out to begin again, and follow next from there"))}
}

// DefaultLimit is the number of entries on a page when none is asked for.
const DefaultLimit = 50

// Page is the part of a list that one answer holds.
type Page struct {
	From, To int
	Next     *string // the cursor of the following page, nil on the last
	Link     string  // the Link header, "" on the last
}

// PageOf cuts a page. The link repeats the path and filters with the limit.
func PageOf(list listOf, length int, limit *int, cursor *string, path string, filters url.Values) (Page, error) {
	from, err := readCursor(cursor, list, length)
	if err != nil {
		return Page{}, err
	}
	size := DefaultLimit
	if limit != nil {
		size = *limit
	}
	p := Page{From: from, To: min(length, from+size)}
	if p.To < length {
		next := cursorAt(list, p.To)
		p.Next = &next
		filters.Set("limit", strconv.Itoa(size))
		filters.Set("cursor", next)
		p.Link = "<" + path + "?" + filters.Encode() + `>; rel="next"`
	}
	return p, nil
}
