package api

import (
	"strconv"

	"commensal/internal/store"

	"github.com/google/uuid"
)

// versionTag is the strong entity tag of a version.
func versionTag(version int64) string { return `"` + strconv.FormatInt(version, 10) + `"` }

var errNoPrecondition = &fault{slug: preconditionRequired, detail: "If-Match is missing: send the ETag of what you have read, or * for whatever there is."}

// toChange reads the id of a thing that is to be changed, and the version meant.
func toChange(text string, ifMatch *string) (id uuid.UUID, match store.Match, err error) {
	if ifMatch == nil {
		return id, nil, errNoPrecondition
	}
	if id, err = idOf(text); err != nil {
		return id, nil, storeFault(err)
	}
	fields := []string{*ifMatch}
	return id, func(version int64) bool { return matchesTagStrongly(fields, versionTag(version)) }, nil
}
