package api

import (
	"fmt"
	"maps"
	"net/http"
	"net/http/httptest"
	"os"
	"slices"
	"strconv"
	"testing"

	"commensal/internal/auth"
)

// tortureSize is a number that make torture raises; package torture lists them.
func tortureSize(t *testing.T, name string, usual int) int {
	t.Helper()
	text := os.Getenv("COMMENSAL_TORTURE_" + name)
	if text == "" {
		return usual
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 {
		t.Fatalf("COMMENSAL_TORTURE_%s is %q: it is a number from 1", name, text)
	}
	return n
}

func newWorld(h *house) *world {
	w := &world{ids: map[string][]string{"problem": {"not-found", "no-such"}}, home: map[string]string{}, puts: map[string]*operation{}}
	ours := h.things("here")
	for name, id := range ours {
		w.ids[name] = []string{id}
	}
	w.home[ours["resident"]] = ours["tank"]
	bare := func(header []string) string { return header[1][len("Bearer "):] }
	unknown, _, _ := auth.NewText()
	w.keys = map[string]string{"all": bare(h.key("here", auth.AllScopes()...)), "there": bare(h.key("there", auth.AllScopes()...)),
		"nothing": bare(h.key("here", auth.TanksRead)), "unknown": unknown}
	for _, op := range testContract().operations {
		if op.method == http.MethodPut {
			w.puts[op.path] = op
		}
	}
	return w
}

// Requests are drawn from the contract for every operation, sound ones and spoilt ones, with
// good keys, bad ones and none. None is a fault of the service, and every answer is in the
// contract.
func TestDrawnRequestsAreAnsweredAsTheContractSays(t *testing.T) {
	requests, seed := tortureSize(t, "REQUESTS", 3000), tortureSize(t, "SEED", 1)
	h := newHouse(t)
	w, d := newWorld(h), newDrawer(uint64(seed))
	operations := testContract().operations
	names := slices.Sorted(maps.Keys(operations))
	tally, good := map[string]int{}, map[string]int{}
	for i := range requests {
		op := operations[oneOf(d, names...)]
		if op.method == http.MethodDelete && d.chance(80) {
			continue // or there would be nothing left
		}
		r, text, sound := d.request(op, w)
		if r == nil {
			continue // a server would not have taken it
		}
		rec := httptest.NewRecorder()
		h.handler.ServeHTTP(rec, r)
		a := answer{rec, r}
		if err := drawnFault(a); err != nil {
			t.Errorf("request %d of seed %d, sound %v: %s %s %v\n%s\nis answered %d %s\n%v", i, seed, sound, r.Method, r.RequestURI, r.Header, clipped(text), a.Code, clipped(a.Body.String()), err)
		}
		w.remember(a)
		tally[fmt.Sprint(sound, " ", a.Code)]++
		if a.Code < 300 {
			good[op.id]++
		}
	}
	t.Log(tally)
	for _, name := range names {
		if good[name] == 0 && requests >= 3000 {
			t.Errorf("no request to %s was ever carried out: what is drawn for it is of no use", name)
		}
	}
}

// drawnFault is what is wrong with an answer.
func drawnFault(a answer) error {
	if a.Code >= 500 && a.Code != http.StatusServiceUnavailable {
		return fmt.Errorf("a fault of the service")
	}
	return held(a)
}
