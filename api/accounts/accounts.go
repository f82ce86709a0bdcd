// Package accounts makes organizations and their keys, and erases what an organization has stored.
package accounts

import (
	"time"

	"commensal/internal/auth"
	"commensal/internal/store"
)

// Accounts makes organizations and keys, revokes keys, and erases what an organization has stored.
type Accounts struct {
	store    *store.Store // nil where there is no database
	verifier *auth.Verifier
	now      func() time.Time
}

// New makes the room.
func New(in *store.Store, verifier *auth.Verifier, now func() time.Time) *Accounts {
	return &Accounts{store: in, verifier: verifier, now: now}
}
