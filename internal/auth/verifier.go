package auth

import (
	"context"
	"crypto/subtle"
	"sync"
	"sync/atomic"
	"time"
)

// MaxStaleness bounds how long what is known of a key is believed: so long after it is
// revoked, anywhere, it is refused by every replica.
const MaxStaleness = 5 * time.Second

// refreshAge is when a key in use is looked up again in the background, so that a busy
// client never waits for it.
const refreshAge = MaxStaleness / 2

// maxRemembered bounds the keys remembered, some 500 bytes each.
const maxRemembered = 10_000

// maxBackground bounds the lookups under way beside requests.
const maxBackground = 4

// Source knows the keys.
type Source interface {
	// FindKey returns the key with an id, or [ErrUnknown].
	FindKey(ctx context.Context, id string) (Key, error)
	// TouchKeys notes when keys were last used, by id.
	TouchKeys(ctx context.Context, used map[string]time.Time) error
}

// Verifier finds out who asks. It remembers what it learns, for [MaxStaleness] at most.
type Verifier struct {
	source Source
	now    func() time.Time
	// background holds a place for every lookup beside a request.
	background chan struct{}

	mu        sync.Mutex
	known     map[string]*memory
	inquiries map[string]*inquiry // by the id of the key
}

// memory is what is remembered of one key.
type memory struct {
	principal *Principal
	key       Key
	asked     time.Time // when the question was put, before its answer was known
	renewing  atomic.Bool
	used      atomic.Int64 // Unix seconds of the last use that is not noted yet, 0 for none
}

// NewVerifier makes a verifier; now nil is time.Now.
func NewVerifier(source Source, now func() time.Time) *Verifier {
	if now == nil {
		now = time.Now
	}
	return &Verifier{source: source, now: now, background: make(chan struct{}, maxBackground),
		known: map[string]*memory{}, inquiries: map[string]*inquiry{}}
}

// Verify returns the principal behind the text of a key, or one of this package's
// errors, or the source's where that fails.
func (v *Verifier) Verify(ctx context.Context, text string) (*Principal, error) {
	id, hash, err := ParseText(text)
	if err != nil {
		return nil, err
	}
	now := v.now()
	m := v.fresh(id, now)
	if m == nil {
		if m, err = v.learn(ctx, id); err != nil {
			return nil, err
		}
	}
	return m.admit(hash, now)
}

// Recall is Verify from memory alone. known is false where memory cannot tell; a nil
// principal that is known is refused.
func (v *Verifier) Recall(text string) (who *Principal, known bool) {
	id, hash, err := ParseText(text)
	if err != nil {
		return nil, true
	}
	now := v.now()
	m := v.fresh(id, now)
	if m == nil {
		return nil, false
	}
	if now.Sub(m.asked) > refreshAge {
		v.renew(m)
	}
	who, _ = m.admit(hash, now)
	return who, true
}

// LearnBeside looks a key up without keeping the caller waiting, so that Recall knows it
// soon. While many are being looked up it does nothing.
func (v *Verifier) LearnBeside(text string) {
	if id, _, err := ParseText(text); err == nil {
		v.beside(id, nil)
	}
}

// admit holds the hash of a text against the key's own.
func (m *memory) admit(hash Hash, now time.Time) (*Principal, error) {
	if subtle.ConstantTimeCompare(hash[:], m.key.Hash[:]) != 1 {
		return nil, ErrUnknown
	}
	if err := m.key.usable(now); err != nil {
		return nil, err
	}
	m.used.Store(now.Unix())
	return m.principal, nil
}

func (v *Verifier) fresh(id string, now time.Time) *memory {
	v.mu.Lock()
	defer v.mu.Unlock()
	m := v.known[id]
	if m == nil || now.Sub(m.asked) >= MaxStaleness {
		return nil
	}
	return m
}

// learn asks the source, and remembers the answer unless the key was forgotten meanwhile.
func (v *Verifier) learn(ctx context.Context, id string) (*memory, error) {
	asked, q := v.now(), v.begin(id)
	key, err := v.source.FindKey(ctx, id)
	v.mu.Lock()
	defer v.mu.Unlock()
	v.end(id, q)
	if err != nil {
		return nil, err
	}
	m := &memory{key: key, asked: asked, principal: &Principal{Key: key.ID, Organization: key.Organization, Region: key.Region, Scopes: key.Scopes}}
	if !q.void {
		v.keep(id, m)
	}
	return m, nil
}

// keep remembers what was learnt. v.mu is held.
func (v *Verifier) keep(id string, m *memory) {
	old := v.known[id]
	switch {
	case old == nil:
		v.makeRoom(m.asked)
	case old.asked.After(m.asked):
		return // a later question was answered sooner
	default:
		m.used.Store(old.used.Load())
	}
	v.known[id] = m
}

// makeRoom drops what is stale when memory is full, and one key more where nothing is.
func (v *Verifier) makeRoom(now time.Time) {
	if len(v.known) < maxRemembered {
		return
	}
	for id, m := range v.known {
		if now.Sub(m.asked) >= MaxStaleness {
			delete(v.known, id)
		}
	}
	for id := range v.known {
		if len(v.known) < maxRemembered {
			return
		}
		delete(v.known, id)
	}
}

// renew looks a key up again beside the request. Where that fails the memory ages on, and
// the next request tries again.
func (v *Verifier) renew(m *memory) {
	if m.renewing.CompareAndSwap(false, true) {
		v.beside(m.key.ID, func() { m.renewing.Store(false) })
	}
}

// beside learns a key in the background; done, where given, is called at the end.
func (v *Verifier) beside(id string, done func()) {
	if done == nil {
		done = func() {}
	}
	select {
	case v.background <- struct{}{}:
	default:
		done()
		return
	}
	go func() {
		defer func() { <-v.background; done() }()
		ctx, cancel := context.WithTimeout(context.Background(), MaxStaleness)
		defer cancel()
		_, _ = v.learn(ctx, id) // where it fails, Verify says why
	}()
}

// NoteUses tells the source which keys were used since the last time. What it cannot
// note now it tells again later.
func (v *Verifier) NoteUses(ctx context.Context) error {
	used := map[string]time.Time{}
	v.mu.Lock()
	for id, m := range v.known {
		if at := m.used.Swap(0); at != 0 {
			used[id] = time.Unix(at, 0)
		}
	}
	v.mu.Unlock()
	if len(used) == 0 {
		return nil
	}
	err := v.source.TouchKeys(ctx, used)
	if err != nil {
		v.remember(used)
	}
	return err
}

func (v *Verifier) remember(used map[string]time.Time) {
	v.mu.Lock()
	defer v.mu.Unlock()
	for id, at := range used {
		if m := v.known[id]; m != nil {
			m.used.CompareAndSwap(0, at.Unix())
		}
	}
}
