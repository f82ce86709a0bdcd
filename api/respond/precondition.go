package respond

import (
	"strconv"

	"commensal/internal/store"

	"github.com/google/uuid"
)

// VersionTag is the strong entity tag of a version.
func VersionTag(version int64) string { return `"` + strconv.FormatInt(version, 10) + `"` }

var ErrNoPrecondition = &Fault{Slug: PreconditionRequired, Detail: "If-Match is missing: send the ETag of what you have read, or * for whatever there is."}

// Precondition reads the id of a thing that is to be changed, and the version meant.
func Precondition(text string, ifMatch *string) (id uuid.UUID, match store.Match, err error) {
	if match, err = MatchOf(ifMatch); err != nil {
		return id, nil, err
	}
	if id, err = ParseID(text); err != nil {
		return id, nil, StoreFault(err)
	}
	return id, match, nil
}

// MatchOf reads the version of a thing that is meant.
func MatchOf(ifMatch *string) (store.Match, error) {
	if ifMatch == nil {
		return nil, ErrNoPrecondition
	}
	fields := []string{*ifMatch}
	return func(version int64) bool { return MatchesStrongly(fields, VersionTag(version)) }, nil
}
