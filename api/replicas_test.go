package api_test

import (
	"net/http"
	"testing"
	"time"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/middleware"
	"commensal/api/respond"
	"commensal/internal/auth"
)

// Each replica counts for itself: what is spent at one is still there at the other, and none
// lets more pass than its quota.
func TestEachReplicaLimitsAKeyForItself(t *testing.T) {
	const quota = 3
	h := apitest.NewService(t)
	key := h.Key("here", auth.TanksRead)
	for range 2 {
		replica := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t), func(c *api.Config) {
			c.Store, c.Verifier, c.Now = h.Store, auth.NewVerifier(h.Store, h.Clock.Now), h.Clock.Now
			c.KeyRateLimit = middleware.RateLimit{Quota: quota, Window: time.Hour}
		}))
		replica.Get("/v1/tanks", key...) // makes the key known, and counts for the address
		for i := range quota {
			if a := replica.Get("/v1/tanks", key...); a.Code != http.StatusOK {
				t.Errorf("request %d: %d %s", i, a.Code, a.Body)
			}
		}
		apitest.WantProblem(t, "one more", replica.Get("/v1/tanks", key...), http.StatusTooManyRequests, respond.TooManyRequests)
	}
}
