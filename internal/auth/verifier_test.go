package auth_test

import (
	"context"
	"errors"
	"slices"
	"sync"
	"testing"
	"time"

	"commensal/internal/auth"

	"github.com/google/uuid"
)

// shelf is a source in memory that counts how often it is asked.
type shelf struct {
	mu    sync.Mutex
	keys  map[string]auth.Key
	asked int
	err   error
	used  map[string]time.Time
	found chan struct{} // told after every answer, where it is not nil
}

func (s *shelf) FindKey(_ context.Context, id string) (auth.Key, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.asked++
	if s.found != nil {
		defer func() { s.found <- struct{}{} }()
	}
	if s.err != nil {
		return auth.Key{}, s.err
	}
	k, ok := s.keys[id]
	if !ok {
		return auth.Key{}, auth.ErrUnknown
	}
	return k, nil
}

func (s *shelf) TouchKeys(_ context.Context, used map[string]time.Time) error {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.used = used
	return s.err
}

func (s *shelf) change(id string, change func(*auth.Key)) {
	s.mu.Lock()
	defer s.mu.Unlock()
	k := s.keys[id]
	change(&k)
	s.keys[id] = k
}

// bench is a verifier with one key and a clock that the test turns.
type bench struct {
	*auth.Verifier
	shelf    *shelf
	text, id string
	mu       sync.Mutex
	now      time.Time
}

func newBench() *bench {
	text, id, hash := auth.NewText()
	b := &bench{text: text, id: id, now: time.Date(2026, 11, 25, 12, 0, 0, 0, time.UTC)}
	b.shelf = &shelf{keys: map[string]auth.Key{id: {ID: id, Hash: hash, Organization: uuid.New(), Scopes: []auth.Scope{auth.TanksRead}}}}
	b.Verifier = auth.NewVerifier(b.shelf, func() time.Time { b.mu.Lock(); defer b.mu.Unlock(); return b.now })
	return b
}

func (b *bench) turn(d time.Duration) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.now = b.now.Add(d)
}

func (b *bench) verify(t *testing.T, want error) *auth.Principal {
	t.Helper()
	who, err := b.Verify(t.Context(), b.text)
	if !errors.Is(err, want) {
		t.Fatalf("got %v, want %v", err, want)
	}
	return who
}

func TestAGoodKeyIsAskedForOnceInAWhile(t *testing.T) {
	b := newBench()
	if _, known := b.Recall(b.text); known {
		t.Error("a key is known before anybody asked")
	}
	for range 100 {
		who := b.verify(t, nil)
		if who.Key != b.id || !who.May(auth.TanksRead) || who.May(auth.TanksWrite) {
			t.Fatalf("%+v", who)
		}
	}
	if b.shelf.asked != 1 {
		t.Errorf("the source was asked %d times", b.shelf.asked)
	}
	if who, known := b.Recall(b.text); !known || who.Organization != b.shelf.keys[b.id].Organization {
		t.Errorf("recalled %v, %v", who, known)
	}
}

func TestARevokedKeyIsRefusedWithinTheStatedTime(t *testing.T) {
	b := newBench()
	b.verify(t, nil)
	b.shelf.change(b.id, func(k *auth.Key) { k.RevokedAt = b.now })
	b.turn(auth.MaxStaleness)
	b.verify(t, auth.ErrRevoked)
	if who, known := b.Recall(b.text); who != nil || !known {
		t.Errorf("recalled %v, %v", who, known)
	}
}

func TestTheReplicaThatRevokesForgetsAtOnce(t *testing.T) {
	b := newBench()
	b.verify(t, nil)
	b.shelf.change(b.id, func(k *auth.Key) { k.RevokedAt = b.now })
	b.Forget(b.id)
	b.verify(t, auth.ErrRevoked)
}

func TestAKeyExpiresToTheMomentThoughItIsRemembered(t *testing.T) {
	b := newBench()
	b.shelf.change(b.id, func(k *auth.Key) { k.ExpiresAt = b.now.Add(time.Second) })
	b.verify(t, nil)
	b.turn(time.Second)
	b.verify(t, auth.ErrExpired)
}

func TestAKeyInUseIsRenewedBesideTheRequest(t *testing.T) {
	b := newBench()
	b.shelf.found = make(chan struct{}, 10)
	b.verify(t, nil)
	<-b.shelf.found
	b.turn(auth.MaxStaleness - time.Second)
	if who, _ := b.Recall(b.text); who == nil {
		t.Fatal("the request was kept waiting")
	}
	<-b.shelf.found // the renewal, which nobody waited for
	b.shelf.mu.Lock()
	b.shelf.found = nil
	b.shelf.mu.Unlock()
}

func TestALookupTeachesTheNextOne(t *testing.T) {
	b := newBench()
	b.shelf.found = make(chan struct{}, 10)
	b.LearnBeside(b.text)
	<-b.shelf.found
	for end := time.Now().Add(10 * time.Second); ; {
		if who, _ := b.Recall(b.text); who != nil {
			return
		}
		if time.Now().After(end) {
			t.Fatal("what was looked up is not remembered")
		}
	}
}

func TestWhatIsRefusedSaysLittle(t *testing.T) {
	b := newBench()
	stranger, _, _ := auth.NewText()
	if _, err := b.Verify(t.Context(), stranger); !errors.Is(err, auth.ErrUnknown) {
		t.Errorf("an unknown key: %v", err)
	}
	// The id of a real key with another secret is answered as an unknown key is, also where
	// the real one is revoked.
	b.shelf.change(b.id, func(k *auth.Key) { k.RevokedAt, k.Hash = b.now, auth.Hash{1} })
	b.verify(t, auth.ErrUnknown)
	if _, err := b.Verify(t.Context(), "password"); !errors.Is(err, auth.ErrMalformed) || b.shelf.asked != 2 {
		t.Errorf("text that is no key: %v, asked %d times", err, b.shelf.asked)
	}
}

func TestWithoutItsSourceAKeyIsKnownForTheStatedTime(t *testing.T) {
	b := newBench()
	b.verify(t, nil)
	away := errors.New("away")
	b.shelf.err = away
	b.turn(auth.MaxStaleness - 1)
	b.verify(t, nil)
	b.turn(1)
	b.verify(t, away)
}

func TestUsesAreNotedTogetherAndNotTwice(t *testing.T) {
	b := newBench()
	b.verify(t, nil)
	b.turn(2 * time.Second)
	b.verify(t, nil)
	b.shelf.err = errors.New("away")
	if err := b.NoteUses(t.Context()); err == nil {
		t.Fatal("a failure is not told")
	}
	b.shelf.err = nil
	if err := b.NoteUses(t.Context()); err != nil || !b.shelf.used[b.id].Equal(b.now) {
		t.Errorf("noted %v (%v), want %v", b.shelf.used, err, b.now)
	}
	b.shelf.used = nil
	if err := b.NoteUses(t.Context()); err != nil || b.shelf.used != nil {
		t.Errorf("noted again: %v (%v)", b.shelf.used, err)
	}
}

func TestMemoryIsBounded(t *testing.T) {
	b := newBench()
	for range 10_050 {
		text, id, hash := auth.NewText()
		b.shelf.keys[id] = auth.Key{ID: id, Hash: hash}
		if _, err := b.Verify(t.Context(), text); err != nil {
			t.Fatal(err)
		}
	}
	b.verify(t, nil)
	if asked := b.shelf.asked; asked != 10_051 {
		t.Errorf("asked %d times", asked)
	}
}

func TestScopesAreKnown(t *testing.T) {
	for _, s := range auth.AllScopes() {
		if !s.Known() {
			t.Errorf("%s", s)
		}
	}
	if auth.Scope("everything").Known() || !auth.Admin.BeyondOrganization() || auth.Manage.BeyondOrganization() {
		t.Error("scopes")
	}
	if !slices.Contains(auth.AllScopes(), auth.Curate) {
		t.Error("curate")
	}
}

func BenchmarkVerify(b *testing.B) {
	bench := newBench()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := bench.Verify(b.Context(), bench.text); err != nil {
			b.Fatal(err)
		}
	}
}
