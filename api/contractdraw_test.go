package api_test

import (
	"fmt"
	"maps"
	"net/http"
	"net/http/httptest"
	"slices"
	"sync"
	"testing"

	"commensal/api/apitest"
	"commensal/api/validate"
	"commensal/internal/auth"
	"commensal/internal/torture"
)

func newWorld(h *apitest.Service) *world {
	w := &world{ids: map[string][]string{"problem": {"not-found", "no-such"}}, home: map[string]string{}, puts: map[string]*validate.Operation{}}
	ours := h.Things("here")
	for name, id := range ours {
		w.ids[name] = []string{id}
	}
	w.ids["species"] = append(w.ids["species"], "oscar", "neon-tetra")
	w.home[ours["resident"]] = ours["tank"]
	bare := func(header []string) string { return header[1][len("Bearer "):] }
	unknown, _, _ := auth.NewText()
	w.keys = map[string]string{"all": bare(h.Key("here", auth.AllScopes()...)), "there": bare(h.Key("there", auth.AllScopes()...)),
		"nothing": bare(h.Key("here", auth.TanksRead)), "unknown": unknown}
	for _, op := range apitest.Contract().Operations {
		if op.Method == http.MethodPut {
			w.puts[op.Path] = op
		}
	}
	return w
}

// Requests are drawn from the contract for every operation, sound ones and spoilt ones, with
// good keys, bad ones and none. None is a fault of the service, and every answer is in the
// contract.
func TestDrawnRequestsAreAnsweredAsTheContractSays(t *testing.T) {
	requests, seed := torture.Size(t, "REQUESTS", 3000), torture.Size(t, "SEED", 1)
	h := apitest.NewService(t, apitest.WithTallies(nil))
	tally := drawMany(t, h, newWorld(h), seed, requests)
	t.Log(tally)
	if done := tally["200"] + tally["201"]; requests >= 1000 && done < requests/4 {
		t.Errorf("only %d of %d requests were carried out: give fields sensible values to draw from", done, requests)
	}
	for name := range apitest.Contract().Operations {
		if tally[name] == 0 && requests >= 50_000 {
			t.Errorf("no request to %s was ever carried out: give its fields sensible values to draw from", name)
		}
	}
}

// Several clients of one organization change the same few things at the same time: they get in
// each other's way, and that is no fault of the service either.
func TestDrawnRequestsAtTheSameTimeAreAnsweredAsTheContractSays(t *testing.T) {
	const clients = 8
	requests, seed := torture.Size(t, "REQUESTS", 3000), torture.Size(t, "SEED", 1)
	h := apitest.NewService(t)
	w := newWorld(h)
	var wg sync.WaitGroup
	for i := range clients {
		wg.Go(func() { drawMany(t, h, w, seed+i+1, requests/clients/2) })
	}
	wg.Wait()
}

// drawMany makes requests and counts how many were carried out, by operation, and what all were answered.
func drawMany(t *testing.T, h *apitest.Service, w *world, seed, requests int) (tally map[string]int) {
	d, operations := newDrawer(uint64(seed)), apitest.Contract().Operations
	names := slices.Sorted(maps.Keys(operations))
	tally = map[string]int{}
	for i := range requests {
		op := operations[oneOf(d, names...)]
		if op.Method == http.MethodDelete && d.chance(80) || op.ID == "eraseOrganizationData" && d.chance(80) {
			continue // or there would be nothing left to ask for
		}
		r, text, sound := d.request(op, w)
		if r == nil {
			continue // a server would not have taken it
		}
		rec := httptest.NewRecorder()
		h.Handler.ServeHTTP(rec, r)
		a := apitest.Answer{ResponseRecorder: rec, Request: r}
		if err := drawnFault(a); err != nil {
			t.Errorf("request %d of seed %d, sound %v: %s %s %v\n%s\nis answered %d %s\n%v", i, seed, sound, r.Method, r.RequestURI, r.Header, apitest.Clipped(text), a.Code, apitest.Clipped(a.Body.String()), err)
		}
		w.remember(a)
		tally[fmt.Sprint(a.Code)]++
		if a.Code < 300 {
			tally[op.ID]++
		}
	}
	return tally
}

// drawnFault is what is wrong with an answer.
func drawnFault(a apitest.Answer) error {
	if a.Code >= 500 && a.Code != http.StatusServiceUnavailable {
		return fmt.Errorf("a fault of the service")
	}
	return apitest.Held(a)
}
