package api

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

func listID(book *conflict.Book, canonical string) (id listOf) {
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
	raw, err := base64.RawURLEncoding.Strict().DecodeString(*text)
	if err != nil || len(raw) < 2+len(list) || raw[0] != cursorVersion {
		return 0, badCursor("The cursor is damaged.")
	}
	if listOf(raw[1:1+len(list)]) != list {
		return 0, badCursor("The cursor belongs to another list: other filters, or an older state of the catalogue.")
	}
	at, n := binary.Uvarint(raw[1+len(list):])
	if n != len(raw)-1-len(list) || at == 0 || at >= uint64(length) {
		return 0, badCursor("The cursor is damaged.")
	}
	return int(at), nil
}

func badCursor(detail string) error {
	return &fault{slug: invalidCursor, detail: detail,
		fields: fields(atQuery("cursor", detail, "leave the cursor out to begin again, and follow next from there"))}
}

// defaultLimit is the number of entries on a page when none is asked for.
const defaultLimit = 50

// page is the part of a list that one answer holds.
type page struct {
	from, to int
	next     *string // the cursor of the following page, nil on the last
	link     string  // the Link header, "" on the last
}

// pageOf cuts a page. The link repeats the path and filters with the limit.
func pageOf(list listOf, length int, limit *int, cursor *string, path string, filters url.Values) (page, error) {
	from, err := readCursor(cursor, list, length)
	if err != nil {
		return page{}, err
	}
	size := defaultLimit
	if limit != nil {
		size = *limit
	}
	p := page{from: from, to: min(length, from+size)}
	if p.to < length {
		next := cursorAt(list, p.to)
		p.next = &next
		filters.Set("limit", strconv.Itoa(size))
		filters.Set("cursor", next)
		p.link = "<" + path + "?" + filters.Encode() + `>; rel="next"`
	}
	return p, nil
}
