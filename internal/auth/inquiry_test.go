package auth_test

import (
	"context"
	"errors"
	"sync"
	"testing"
	"time"

	"commensal/internal/auth"
)

// slowShelf answers with what it read when the question came, and holds every answer back
// until it is released.
type slowShelf struct {
	*shelf
	read    chan struct{} // told when a question has been read
	release chan struct{} // closed when answers may go
}

func (s *slowShelf) FindKey(ctx context.Context, id string) (auth.Key, error) {
	k, err := s.shelf.FindKey(ctx, id)
	s.read <- struct{}{}
	<-s.release
	return k, err
}

func TestAnAnswerOnItsWayIsNotRememberedPastTheRevocation(t *testing.T) {
	for name, ask := range map[string]func(*auth.Verifier, string){
		"of a request":     func(v *auth.Verifier, text string) { _, _ = v.Verify(context.Background(), text) },
		"beside a request": func(v *auth.Verifier, text string) { v.LearnBeside(text) },
	} {
		t.Run(name, func(t *testing.T) {
			b := newBench()
			slow := &slowShelf{b.shelf, make(chan struct{}, 10), make(chan struct{})}
			v := auth.NewVerifier(slow, time.Now)
			done := make(chan struct{})
			go func() { defer close(done); ask(v, b.text) }()
			<-slow.read // the good answer is on its way
			b.shelf.change(b.id, func(k *auth.Key) { k.RevokedAt = time.Now() })
			v.Forget(b.id)
			close(slow.release)
			<-done
			if who, known := v.Recall(b.text); who != nil {
				t.Errorf("a revoked key is remembered as good (known %v)", known)
			}
			if _, err := v.Verify(t.Context(), b.text); !errors.Is(err, auth.ErrRevoked) {
				t.Errorf("the next request: %v", err)
			}
		})
	}
}

// TestNoRequestAfterTheRevocationIsAdmitted lets many ask while the key is revoked: whoever
// begins after Forget returned is refused, however many answers are on their way.
func TestNoRequestAfterTheRevocationIsAdmitted(t *testing.T) {
	for range 200 {
		b := newBench()
		v := auth.NewVerifier(b.shelf, time.Now)
		revoked := make(chan struct{})
		var late, group sync.WaitGroup
		for range 8 {
			group.Go(func() {
				for range 20 {
					_, _ = v.Verify(context.Background(), b.text)
					v.LearnBeside(b.text)
				}
				<-revoked
			})
			late.Go(func() {
				<-revoked
				if _, err := v.Verify(context.Background(), b.text); !errors.Is(err, auth.ErrRevoked) {
					t.Errorf("admitted: %v", err)
				}
				if who, _ := v.Recall(b.text); who != nil {
					t.Error("recalled")
				}
			})
		}
		b.shelf.change(b.id, func(k *auth.Key) { k.RevokedAt = time.Now() })
		v.Forget(b.id)
		close(revoked)
		group.Wait()
		late.Wait()
	}
}
