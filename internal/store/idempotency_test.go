package store_test

import (
	"errors"
	"sync"
	"testing"

	"commensal/internal/store"

	"github.com/google/uuid"
)

func TestRequestsAreCarriedOutOnce(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	ctx := testContext(t)
	here, there := organization(t, s, "Reef corner"), organization(t, s, "Pond club")
	once := store.Once{Key: "k1", Operation: "POST /v1/keys", Body: [32]byte{1}}
	answer := store.Answer{Status: 201, Headers: map[string]string{"etag": `"1"`}, Body: []byte(`{"n":1}`)}
	runs := 0
	ask := func(of uuid.UUID, once store.Once) (store.Answer, bool, error) {
		return s.WriteOnce(ctx, of, once, func(*store.Tx) (store.Answer, error) { runs++; return answer, nil })
	}
	for i := range 3 {
		got, replayed, err := ask(here, once)
		if err != nil || replayed != (i > 0) || got.Status != 201 || string(got.Body) != `{"n":1}` || got.Headers["etag"] != `"1"` {
			t.Fatalf("%d: %+v %v %v", i, got, replayed, err)
		}
	}
	for _, other := range []store.Once{{Key: "k1", Operation: "POST /v1/keys", Body: [32]byte{2}}, {Key: "k1", Operation: "POST /v1/tanks", Body: [32]byte{1}}} {
		if _, _, err := ask(here, other); !errors.Is(err, store.ErrKeyReused) {
			t.Errorf("%+v: %v", other, err)
		}
	}
	if _, replayed, err := ask(there, once); err != nil || replayed || runs != 2 {
		t.Errorf("another organization's key: %v %v, %d runs", replayed, err, runs)
	}
	failure := errors.New("no")
	failing := store.Once{Key: "k2", Operation: "POST /v1/keys"}
	if _, _, err := s.WriteOnce(ctx, here, failing, func(*store.Tx) (store.Answer, error) { return answer, failure }); !errors.Is(err, failure) {
		t.Errorf("a failure: %v", err)
	}
	if _, replayed, err := ask(here, failing); err != nil || replayed {
		t.Errorf("after a failure: %v %v", replayed, err)
	}
}

func TestAnExpiredAnswerIsSweptAndItsKeyIsAsGoodAsNew(t *testing.T) {
	t.Parallel()
	s, dsn := open(t, store.Options{})
	ctx := testContext(t)
	here := organization(t, s, "Reef corner")
	ask := func(key, operation string) bool {
		_, replayed, err := s.WriteOnce(ctx, here, store.Once{Key: key, Operation: operation}, func(*store.Tx) (store.Answer, error) {
			return store.Answer{Status: 201}, nil
		})
		if err != nil {
			t.Fatal(err)
		}
		return replayed
	}
	ask("old", "POST /a")
	ask("older", "POST /a")
	execute(t, dsn, `UPDATE idempotency_records SET expires_at = now()`)
	ask("new", "POST /a")
	if ask("old", "POST /b") {
		t.Error("an expired answer was repeated")
	}
	if swept, err := s.SweepAnswers(ctx, 10); err != nil || swept != 1 {
		t.Errorf("swept %d, %v", swept, err)
	}
	if !ask("new", "POST /a") || !ask("old", "POST /b") {
		t.Error("answers in use were swept")
	}
}

func TestOfTwinsOneRunsAndTheOtherWaits(t *testing.T) {
	t.Parallel()
	s, _ := open(t, store.Options{})
	ctx := testContext(t)
	here := organization(t, s, "Reef corner")
	once := store.Once{Key: "twin", Operation: "POST /v1/keys"}
	inside, finish := make(chan struct{}), make(chan struct{})
	var wg sync.WaitGroup
	wg.Go(func() {
		_, replayed, err := s.WriteOnce(ctx, here, once, func(*store.Tx) (store.Answer, error) {
			close(inside)
			<-finish
			return store.Answer{Status: 201, Body: []byte("first")}, nil
		})
		if err != nil || replayed {
			t.Errorf("the first: %v %v", replayed, err)
		}
	})
	<-inside
	// While the first is at work its twin gives up …
	_, _, err := s.WriteOnce(ctx, here, once, func(*store.Tx) (store.Answer, error) { t.Error("it ran twice"); return store.Answer{}, nil })
	if !errors.Is(err, store.ErrBusy) {
		t.Errorf("the impatient twin: %v", err)
	}
	// … and one that comes shortly before its end has its answer.
	wg.Go(func() {
		a, replayed, err := s.WriteOnce(ctx, here, once, func(*store.Tx) (store.Answer, error) { t.Error("it ran twice"); return store.Answer{}, nil })
		if err != nil || !replayed || string(a.Body) != "first" {
			t.Errorf("the patient twin: %+v %v %v", a, replayed, err)
		}
	})
	close(finish)
	wg.Wait()
}
