package api

import (
	"crypto/sha256"
	"encoding/base64"
	"net/url"
	"strconv"

	"commensal/internal/store"

	"github.com/google/uuid"
)

// keysetVersion is the first byte of a cursor that names the last entry seen, as opposed
// to a number of entries: entries may come and go between two pages.
const keysetVersion = 2

// keyset is a list that is cut into pages by the place of the last entry.
type keyset struct {
	path    string
	filters url.Values
	limit   int
	after   string // the place of the last entry of the page before, "" for the first page
}

// newKeyset reads limit and cursor of a list. whose is the organization it belongs to.
func newKeyset(whose uuid.UUID, path string, filters url.Values, limit *int, cursor *string) (keyset, error) {
	k := keyset{path: path, filters: filters, limit: defaultLimit}
	if limit != nil {
		k.limit = *limit
	}
	if cursor == nil {
		return k, nil
	}
	raw, err := base64.RawURLEncoding.Strict().DecodeString(*cursor)
	list := k.list(whose)
	if err != nil || len(raw) <= 1+len(list) || raw[0] != keysetVersion {
		return k, badCursor("The cursor is damaged.")
	}
	if listOf(raw[1:1+len(list)]) != list {
		return k, badCursor("The cursor belongs to another list.")
	}
	k.after = string(raw[1+len(list):])
	return k, nil
}

// list tells the list from all others.
func (k *keyset) list(whose uuid.UUID) (id listOf) {
	sum := sha256.Sum256([]byte(whose.String() + "\x00" + k.path + "\x00" + k.filters.Encode()))
	copy(id[:], sum[:])
	return id
}

// next is the cursor and the Link behind an entry at a place.
func (k *keyset) next(whose uuid.UUID, place string) (cursor *string, link string) {
	list := k.list(whose)
	text := base64.RawURLEncoding.EncodeToString(append(append([]byte{keysetVersion}, list[:]...), place...))
	q := url.Values{}
	for name, values := range k.filters {
		q[name] = values
	}
	q.Set("limit", strconv.Itoa(k.limit))
	q.Set("cursor", text)
	return &text, "<" + k.path + "?" + q.Encode() + `>; rel="next"`
}

// cut takes the entry too many off a list that was read with limit+1, and says how to go on.
func cut[T any](k *keyset, whose uuid.UUID, list []T, place func(*T) string) (page []T, cursor *string, link string) {
	if len(list) <= k.limit {
		return list, nil, ""
	}
	list = list[:k.limit]
	cursor, link = k.next(whose, place(&list[k.limit-1]))
	return list, cursor, link
}

// afterID is the place as an id; the nil id, which is before all, on the first page.
func (k *keyset) afterID() (id uuid.UUID, err error) {
	if k.after == "" {
		return id, nil
	}
	if id, err = idOf(k.after); err != nil {
		return id, badCursor("The cursor is damaged.")
	}
	return id, nil
}

// idOf reads an id. Text that is none is the id of nothing.
func idOf(text string) (uuid.UUID, error) {
	id, err := uuid.Parse(text)
	if err != nil || id.String() != text {
		return uuid.Nil, store.ErrNotFound
	}
	return id, nil
}
