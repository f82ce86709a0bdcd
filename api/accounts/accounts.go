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
	keyLife  time.Duration
}

// New makes the room. A key that is made without a time of expiry is good for keyLife; zero is
// for ever.
func New(in *store.Store, verifier *auth.Verifier, keyLife time.Duration, now func() time.Time) *Accounts {
	return &Accounts{store: in, verifier: verifier, keyLife: keyLife, now: now}
}
