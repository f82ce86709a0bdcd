package api_test

import (
	"bytes"
	"fmt"
	"log/slog"
	"strconv"
	"strings"
	"testing"
	"time"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/middleware"
	"commensal/api/respond"
	"commensal/api/work"
	"commensal/internal/auth"
	"commensal/internal/conflict"
)

func TestRateLimit(t *testing.T) {
	c := fixture.NewClock()
	s := apitest.ServerOf(t, fixture.Few(t), func(cfg *api.Config) {
		cfg.Now = c.Now
		cfg.RateLimit = middleware.RateLimit{Quota: 3, Window: 30 * time.Second}
	})
	w := apitest.Ask(t, s)
	for left := 2; left >= 0; left-- {
		a := w.Get(apitest.OscarNeon)
		if want := `"default";r=` + string(rune('0'+left)) + ";t=" + strconv.Itoa(30-10*left); a.Code != 200 || a.Header().Get("RateLimit") != want || a.Header().Get("RateLimit-Policy") != `"default";q=3;w=30` {
			t.Errorf("%d, RateLimit %q, want %q", a.Code, a.Header().Get("RateLimit"), want)
		}
	}
	for _, target := range apitest.Lookups {
		if a := w.Get(target); a.Code != 429 || a.Header().Get("Retry-After") != "10" {
			t.Errorf("%s: %d, Retry-After %q", target, a.Code, a.Header().Get("Retry-After"))
		}
	}
	if a := w.Post("/v1/pairings", `{"species":["oscar"]}`); a.Code != 429 {
		t.Errorf("matrix: %d", a.Code)
	}
	if a := w.Get("/readyz"); a.Code != 200 {
		t.Errorf("health is limited: %d", a.Code)
	}
	c.Turn(10 * time.Second)
	if a := w.Get(apitest.OscarNeon); a.Code != 200 {
		t.Errorf("after Retry-After: %d", a.Code)
	}
	r := apitest.NewRequest(t, "GET", apitest.OscarNeon, "")
	r.RemoteAddr = "198.51.100.7:1"
	if a := w.Send(r); a.Code != 200 {
		t.Errorf("another address: %d", a.Code)
	}
}

func TestPagesOfOtherOriginsMayAsk(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	for _, target := range append([]string{"/v1/species/oscarr"}, apitest.Lookups...) {
		a := w.Get(target, "Origin", "https://forum.example")
		if a.Header().Get("Access-Control-Allow-Origin") != "*" || !strings.Contains(a.Header().Get("Access-Control-Expose-Headers"), "ETag") {
			t.Errorf("%s: %v", target, a.Header())
		}
	}
	a := w.Do("OPTIONS", "/v1/pairings", "", "Origin", "https://forum.example", "Access-Control-Request-Method", "POST", "Access-Control-Request-Headers", "content-type")
	if a.Code != 204 || a.Header().Get("Access-Control-Allow-Methods") != "POST" || !strings.Contains(a.Header().Get("Access-Control-Allow-Headers"), "Content-Type") || a.Header().Get("Access-Control-Allow-Origin") != "*" {
		t.Errorf("preflight: %d %v", a.Code, a.Header())
	}
	if a := w.Do("OPTIONS", "/v1/nothing", ""); a.Code != 404 {
		t.Errorf("preflight of nothing: %d", a.Code)
	}
	if a := w.Get("/livez"); a.Header().Get("Access-Control-Allow-Origin") != "" {
		t.Error("the health of the service is open to other origins")
	}
}

// remaining is how many requests the answer says are left.
func remaining(t *testing.T, a apitest.Answer) (left int) {
	t.Helper()
	if _, err := fmt.Sscanf(a.Header().Get("RateLimit"), `"default";r=%d;`, &left); err != nil {
		t.Fatalf("%d, RateLimit %q: %v", a.Code, a.Header().Get("RateLimit"), err)
	}
	return left
}

// The limit counts what a request cost, and not only that there was one.
func TestDearWorkCountsForMoreThanOneRequest(t *testing.T) {
	clock, quota := fixture.NewClock(), 1000
	server := func(quota int) (*apitest.Witness, *bytes.Buffer) {
		var log bytes.Buffer
		return apitest.Ask(t, apitest.ServerOf(t, fixture.Fitted(t), func(c *api.Config) {
			c.Now, c.CacheBytes, c.Logger = clock.Now, -1, slog.New(slog.NewJSONHandler(&log, nil))
			c.RateLimit = middleware.RateLimit{Quota: quota, Window: time.Duration(quota) * time.Second}
		})), &log
	}
	w, log := server(quota)
	if left := remaining(t, w.Get(apitest.OscarNeon)); left != quota-1 {
		t.Fatalf("%d left after a lookup", left)
	}
	log.Reset()
	w.Post("/v1/checks", fixture.Dozen)
	cost := loggedLine(t, log)["cost"].(float64)
	if cost < 3*work.Lookup {
		t.Fatalf("a check of a dozen kinds cost %v units: too few to tell", cost)
	}
	if left, want := remaining(t, w.Get(apitest.OscarNeon)), int(float64(quota-3)-cost/work.Lookup); left != want {
		t.Errorf("%d left after a check of %v units, want %d", left, cost, want)
	}
	other := apitest.NewRequest(t, "GET", apitest.OscarNeon, "")
	other.RemoteAddr = "198.51.100.7:1"
	if left := remaining(t, w.Send(other)); left != quota-1 {
		t.Errorf("another address has %d left", left)
	}
	poor, _ := server(2)
	if a := poor.Post("/v1/checks", fixture.Dozen); a.Code != 200 { // what it costs is known once it is done
		t.Fatalf("%d", a.Code)
	}
	if a := poor.Get(apitest.OscarNeon); a.Code != 429 || a.Header().Get("Retry-After") != "3" { // it owes as much as a bucket holds, no more
		t.Errorf("after dear work: %d, Retry-After %q", a.Code, a.Header().Get("Retry-After"))
	}
	clock.Turn(3 * time.Second)
	if a := poor.Get(apitest.OscarNeon); a.Code != 200 {
		t.Errorf("once that is paid: %d", a.Code)
	}
}

// A key pays for what its requests cost, and for nobody else's: a few dear checks use up what is enough for many lookups.
func TestAKeyIsChargedWhatItsRequestsCost(t *testing.T) {
	const quota = 40
	h := apitest.NewService(t, func(c *api.Config) {
		book := fixture.Fitted(t)
		c.Book, c.CacheBytes = func() *conflict.Book { return book }, -1
		c.KeyRateLimit = middleware.RateLimit{Quota: quota, Window: quota * time.Second}
	})
	key, other := h.Key("here", auth.TanksRead), h.Key("here", auth.TanksRead)
	for _, k := range [][]string{key, other} {
		h.Get("/v1/tanks", k...) // makes the key known, and counts for the address
	}
	asked, a := 0, apitest.Answer{}
	for ; asked < quota; asked++ {
		if a = h.Post("/v1/checks", fixture.Dozen, key...); a.Code != 200 {
			break
		}
	}
	apitest.WantProblem(t, "once it is used up", a, 429, respond.TooManyRequests)
	wait, err := strconv.Atoi(a.Header().Get("Retry-After"))
	if asked < 2 || 3*asked > quota || err != nil || wait < 1 {
		t.Errorf("%d checks were judged within %d, then Retry-After %q", asked, quota, a.Header().Get("Retry-After"))
	}
	if a := h.Get(apitest.OscarNeon, key...); a.Code != 429 {
		t.Errorf("a lookup with the same key: %d", a.Code)
	}
	for name, headers := range map[string][]string{"another key of the organization": other, "no key": nil} {
		if a := h.Post("/v1/checks", fixture.Dozen, headers...); a.Code != 200 {
			t.Errorf("%s: %d", name, a.Code)
		}
	}
	h.Clock.Turn(time.Duration(wait) * time.Second)
	if a := h.Get(apitest.OscarNeon, key...); a.Code != 200 {
		t.Errorf("after Retry-After: %d", a.Code)
	}
}
