package respond

import (
	"crypto/sha256"
	"encoding/base64"
	"net/url"
	"strconv"
	"strings"
	"time"

	"commensal/internal/store"

	"github.com/google/uuid"
)

// keysetVersion is the first byte of a cursor that names the last entry seen, as opposed
// to a number of entries: entries may come and go between two pages.
const keysetVersion = 2

// Keyset is a list that is cut into pages by the place of the last entry.
type Keyset struct {
	path    string
	filters url.Values
	Limit   int
	Place   string // the place of the last entry of the page before, "" for the first page
}

// NewKeyset reads limit and cursor of a list. whose is the organization it belongs to.
func NewKeyset(whose uuid.UUID, path string, filters url.Values, limit *int, cursor *string) (Keyset, error) {
	k := Keyset{path: path, filters: filters, Limit: DefaultLimit}
	if limit != nil {
		k.Limit = *limit
	}
	if cursor == nil {
		return k, nil
	}
	raw, ok := cursorBytes(*cursor)
	list := k.list(whose)
	if !ok || len(raw) <= 1+len(list) || raw[0] != keysetVersion {
		return k, BadCursor("The cursor is damaged.")
	}
	if listOf(raw[1:1+len(list)]) != list {
		return k, BadCursor("The cursor belongs to another list.")
	}
	k.Place = string(raw[1+len(list):])
	return k, nil
}

// list tells the list from all others.
func (k *Keyset) list(whose uuid.UUID) (id listOf) {
	sum := sha256.Sum256([]byte(whose.String() + "\x00" + k.path + "\x00" + k.filters.Encode()))
	copy(id[:], sum[:])
	return id
}

// next is the cursor and the Link behind an entry at a place.
func (k *Keyset) next(whose uuid.UUID, place string) (cursor *string, link string) {
	list := k.list(whose)
	text := base64.RawURLEncoding.EncodeToString(append(append([]byte{keysetVersion}, list[:]...), place...))
	q := url.Values{}
	for name, values := range k.filters {
		q[name] = values
	}
	q.Set("limit", strconv.Itoa(k.Limit))
	q.Set("cursor", text)
	return &text, "<" + k.path + "?" + q.Encode() + `>; rel="next"`
}

// Cut takes the entry too many off a list that was read with limit+1, and says how to go on.
func Cut[T any](k *Keyset, whose uuid.UUID, list []T, place func(*T) string) (page []T, cursor *string, link string) {
	if len(list) <= k.Limit {
		return list, nil, ""
	}
	list = list[:k.Limit]
	cursor, link = k.next(whose, place(&list[k.Limit-1]))
	return list, cursor, link
}

// AfterID is the place as an id; the nil id, which is before all, on the first page.
func (k *Keyset) AfterID() (id uuid.UUID, err error) {
	if k.Place == "" {
		return id, nil
	}
	if id, err = ParseID(k.Place); err != nil {
		return id, BadCursor("The cursor is damaged.")
	}
	return id, nil
}

// ParseID reads an id. Text that is none is the id of nothing.
func ParseID(text string) (uuid.UUID, error) {
	id, err := uuid.Parse(text)
	if err != nil || id.String() != text {
		return uuid.Nil, store.ErrNotFound
	}
	return id, nil
}

// farAhead is behind everything that can be stored.
var farAhead = time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC)

// MomentPlace is the place of an entry in a list that is in order of time.
func MomentPlace(at time.Time, id uuid.UUID) string {
	return at.UTC().Format(time.RFC3339Nano) + " " + id.String()
}

// BeforeMoment is the place as a moment and an id.
func (k *Keyset) BeforeMoment() (at time.Time, id uuid.UUID, err error) {
	if k.Place == "" {
		return farAhead, uuid.Max, nil
	}
	moment, text, _ := strings.Cut(k.Place, " ")
	if at, err = time.Parse(time.RFC3339Nano, moment); err == nil {
		id, err = ParseID(text)
	}
	if err != nil || MomentPlace(at, id) != k.Place {
		err = BadCursor("The cursor is damaged.")
	}
	return at, id, err
}
