package store_test

import (
	"bytes"
	"strconv"
	"strings"
	"testing"

	"commensal/internal/store"
)

func TestALargeAnswerIsStoredSmallAndRepeatedToTheLetter(t *testing.T) {
	t.Parallel()
	s, dsn := open(t, store.Options{})
	here := organization(t, s, "Reef corner")
	for i, body := range []string{"", `{}`, `{"pairings":[` + strings.Repeat(`{"score":12.5,"level":"low"},`, 20_000) + `{}]}`} {
		first := func(*store.Tx) (store.Answer, error) { return store.Answer{Status: 201, Body: []byte(body)}, nil }
		once := store.Once{Key: "k" + strconv.Itoa(i)}
		if _, _, err := s.WriteOnce(testContext(t), here, once, first); err != nil {
			t.Fatal(err)
		}
		again, replayed, err := s.WriteOnce(testContext(t), here, once, first)
		if err != nil || !replayed || !bytes.Equal(again.Body, []byte(body)) {
			t.Errorf("%d bytes became %d (%v, %v)", len(body), len(again.Body), replayed, err)
		}
	}
	if got := texts(t, dsn, `SELECT max(octet_length(body))::text FROM idempotency_records`); len(got[0]) > 5 {
		t.Errorf("%s bytes are stored", got[0])
	}
}
