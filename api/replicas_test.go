package api

import (
	"net/http"
	"testing"
	"time"

	"commensal/internal/auth"
)

// Each replica counts for itself: what is spent at one is still there at the other, and none
// lets more pass than its quota.
func TestEachReplicaLimitsAKeyForItself(t *testing.T) {
	const quota = 3
	h := newHouse(t)
	key := h.key("here", auth.TanksRead)
	for range 2 {
		replica := ask(t, serverOf(t, few(t), func(c *Config) {
			c.Store, c.Verifier, c.Now = h.store, auth.NewVerifier(h.store, h.clock.Now), h.clock.Now
			c.KeyRateLimit = RateLimit{Quota: quota, Window: time.Hour}
		}))
		replica.get("/v1/tanks", key...) // makes the key known, and counts for the address
		for i := range quota {
			if a := replica.get("/v1/tanks", key...); a.Code != http.StatusOK {
				t.Errorf("request %d: %d %s", i, a.Code, a.Body)
			}
		}
		wantProblem(t, "one more", replica.get("/v1/tanks", key...), http.StatusTooManyRequests, tooManyRequests)
	}
}
