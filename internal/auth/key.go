package auth

import (
	"errors"
	"slices"
	"time"

	"github.com/google/uuid"
)

// Key is what is known of a key. Its text is not.
type Key struct {
	ID           string
	Organization uuid.UUID
	Region       string // of the organization; set where the key was found to verify it
	Hash         Hash
	Label        string
	Scopes       []Scope
	CreatedAt    time.Time
	ExpiresAt    time.Time // zero for never
	RevokedAt    time.Time // zero for not
	LastUsedAt   time.Time // zero for never; to within a minute or so
}

// Why a key is refused, beside [ErrMalformed].
var (
	ErrUnknown = errors.New("auth: no such key") // or another secret: which of them is nobody's business
	ErrExpired = errors.New("auth: the key has expired")
	ErrRevoked = errors.New("auth: the key has been revoked")
)

// usable is nil while the key may be used.
func (k *Key) usable(now time.Time) error {
	switch {
	case !k.RevokedAt.IsZero():
		return ErrRevoked
	case !k.ExpiresAt.IsZero() && !now.Before(k.ExpiresAt):
		return ErrExpired
	}
	return nil
}

// Principal is who asks: a key in good standing.
type Principal struct {
	Key          string
	Organization uuid.UUID
	Region       string // where the organization is, as it says itself; empty where it does not
	Scopes       []Scope
}

// May reports whether the principal's key permits a thing.
func (p *Principal) May(s Scope) bool { return slices.Contains(p.Scopes, s) }
