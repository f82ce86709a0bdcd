package api

import (
	"context"
	"fmt"
	"net/http"
	"sync/atomic"
	"testing"
	"time"

	"commensal/api/gen"
	"commensal/internal/auth"
	"commensal/internal/evidence"
	"commensal/internal/store"
)

const oscarNeonReports = oscarNeon + "/reports"

// counted gives a server reports that no database stands behind.
func withTallies(of map[evidence.Pair]evidence.Tally) func(*Config) {
	tallies := evidence.NewTallies(of)
	return func(c *Config) { c.Reports = func() *evidence.Tallies { return tallies } }
}

// follow gives a server the reports of a store, as the service does.
func follow(t *testing.T, st *store.Store) func(*Config) {
	t.Helper()
	var now atomic.Pointer[evidence.Tallies]
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan struct{})
	go func() {
		defer close(done)
		_ = st.WatchReports(ctx, func(t *evidence.Tallies) { now.Store(t) })
	}()
	t.Cleanup(func() { cancel(); <-done })
	return func(c *Config) { c.Reports = now.Load }
}

// replica is another server on the same database.
func (h *house) replica(t *testing.T) *witness {
	t.Helper()
	st, err := store.Open(context.Background(), h.dsn, store.Options{PollInterval: time.Hour})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(st.Close)
	return ask(t, serverOf(t, few(t), follow(t, st)))
}

// soon asks again and again until an answer is as it should be, and notes how long that
// took. The minute is for a test that hangs.
func soon(t *testing.T, what string, as func() bool) {
	t.Helper()
	begin := time.Now()
	for !as() {
		if time.Since(begin) > time.Minute {
			t.Fatalf("not yet: %s", what)
		}
		time.Sleep(10 * time.Millisecond)
	}
	t.Logf("%s after %v", what, time.Since(begin).Round(time.Millisecond))
}

func reportsOf(t *testing.T, a answer) gen.PairingReports {
	t.Helper()
	return body[gen.PairingReports](t, a, http.StatusOK)
}

// The replicas look by themselves but once an hour: what they know they were told, which
// takes a fraction of a second.
func TestANewReportShowsOnEveryReplicaAtOnce(t *testing.T) {
	h := newHouse(t)
	replicas := []*witness{h.replica(t), h.replica(t)}
	for _, w := range replicas {
		soon(t, "reports are read", func() bool { return w.get(oscarNeonReports).Code == http.StatusOK })
	}
	key := h.key("here", auth.ReportsWrite)
	everywhere := func(count int) {
		t.Helper()
		var tags []string
		for _, w := range replicas {
			soon(t, fmt.Sprint(count, " reports"), func() bool { return reportsOf(t, w.get(oscarNeonReports)).Count == count })
			p := pairingOf(t, w.get(oscarNeon))
			if count == 0 && p.Reports != nil || count > 0 && (p.Reports == nil || p.Reports.Count != count) {
				t.Errorf("%d reports, the pairing says %+v", count, p.Reports)
			}
			tags = append(tags, w.get(oscarNeon).Header().Get("ETag"), w.get(oscarNeonReports).Header().Get("ETag"))
		}
		if tags[0] != tags[2] || tags[1] != tags[3] {
			t.Errorf("replicas disagree: %v", tags)
		}
	}
	everywhere(0)
	filed := body[gen.Report](t, h.post("/v1/reports", killed, key...), http.StatusCreated)
	everywhere(1)
	h.post("/v1/reports", `{"first":"neon tetra","second":"oscar","months":12,"outcome":"fine"}`, h.key("there", auth.ReportsWrite)...)
	everywhere(2)
	h.do(http.MethodDelete, "/v1/reports/"+filed.Id, "", key...)
	everywhere(1)
	if err := h.store.Erase(t.Context(), h.org["there"]); err != nil {
		t.Fatal(err)
	}
	everywhere(0)
}

func TestReportsStandBesideTheScore(t *testing.T) {
	pair := evidence.PairOf("astronotus-ocellatus", "paracheirodon-innesi")
	var tally evidence.Tally
	for range 3 {
		tally.Add(evidence.Share{Counts: [evidence.NumOutcomes]int{2, 1, 0, 1}, FineMonths: 24})
	}
	without := ask(t, serverOf(t, few(t)))
	with := ask(t, serverOf(t, few(t), withTallies(map[evidence.Pair]evidence.Tally{pair: tally})))
	plain, told := pairingOf(t, without.get(oscarNeon)), pairingOf(t, with.get(oscarNeon))
	r := told.Reports
	if r == nil || r.Count != 12 || r.Outcomes != (gen.OutcomeCounts{Fine: 6, Harassed: 3, Killed: 3}) || r.Weight != 12 {
		t.Fatalf("%+v", r)
	}
	if want := (plain.Score + 50) / 2; r.Posterior.Mean < want-0.2 || r.Posterior.Mean > want+0.2 {
		t.Errorf("half of %v and half of 50 is %v", plain.Score, r.Posterior.Mean)
	}
	if told.Reports = nil; told.Score != plain.Score || told.Level != plain.Level || told.Summary != plain.Summary || told.Band[0] != plain.Band[0] {
		t.Errorf("the reports change the answer: %+v, %+v", told, plain)
	}
	whole := reportsOf(t, with.get(oscarNeonReports))
	if *whole.Organizations != 3 || whole.Observed == nil || whole.Observed.Mean != 50 || whole.Prior != (gen.ReportsPrior{Score: plain.Score, Weight: 12}) ||
		whole.Posterior.Mean != r.Posterior.Mean || whole.Summary != r.Summary || whole.Species[0].Id != "astronotus-ocellatus" {
		t.Errorf("%+v", whole)
	}
	if turned := reportsOf(t, with.get("/v1/pairings/neon-tetra/oscar/reports")); turned.Count != 12 || turned.Species[0].Id != "paracheirodon-innesi" {
		t.Errorf("the other way round %+v", turned)
	}
	tank := pairingOf(t, with.get(oscarNeon+"?tank=240x80x70cm&cover=0.9"))
	if tank.Reports == nil || tank.Reports.Posterior.Mean != r.Posterior.Mean {
		t.Errorf("the reports depend on the tank asked for: %+v", tank.Reports)
	}
	if other := pairingOf(t, with.get("/v1/pairings/oscar/guppy")); other.Reports != nil {
		t.Errorf("another pair: %+v", other.Reports)
	}
}

func TestWithoutReportsTheModelStandsAlone(t *testing.T) {
	w := ask(t, serverOf(t, few(t), withTallies(nil)))
	r := reportsOf(t, w.get(oscarNeonReports))
	if r.Count != 0 || r.Organizations != nil || r.Observed != nil || r.Posterior.Mean != r.Prior.Score {
		t.Errorf("%+v", r)
	}
	if p := pairingOf(t, w.get(oscarNeon)); p.Reports != nil || p.Score != r.Prior.Score {
		t.Errorf("score %v, %+v", p.Score, p.Reports)
	}
}

// One shop has a thousand fish to sell: it does not decide alone.
func TestOneOrganizationDoesNotDecide(t *testing.T) {
	h := newHouse(t)
	w, key := h.replica(t), h.key("here", auth.ReportsWrite)
	for range 12 {
		body[gen.Report](t, h.post("/v1/reports", `{"first":"oscar","second":"neon tetra","months":48,"outcome":"fine"}`, key...), http.StatusCreated)
	}
	soon(t, "all are counted", func() bool { a := w.get(oscarNeonReports); return a.Code == 200 && reportsOf(t, a).Count == 12 })
	r := reportsOf(t, w.get(oscarNeonReports))
	if r.Weight != 5 || r.Organizations != nil || r.Posterior.Mean < 50 {
		t.Errorf("%+v", r)
	}
}

func TestEntityTagsFollowTheReportsOfTheirPairOnly(t *testing.T) {
	pair := evidence.PairOf("astronotus-ocellatus", "paracheirodon-innesi")
	var now atomic.Pointer[evidence.Tallies]
	w := ask(t, serverOf(t, few(t), func(c *Config) { c.Reports = now.Load }))
	const guppies = "/v1/pairings/guppy/guppy"
	share := evidence.Share{Counts: [evidence.NumOutcomes]int{1}, FineMonths: 3}
	tags := map[string]bool{}
	other := w.get(guppies).Header().Get("ETag")
	for n := range 4 {
		var tally evidence.Tally
		for range n {
			tally.Add(share)
		}
		now.Store(evidence.NewTallies(map[evidence.Pair]evidence.Tally{pair: tally}))
		for _, target := range []string{oscarNeon, oscarNeonReports} {
			tag := w.get(target).Header().Get("ETag")
			if tags[tag] {
				t.Errorf("%s: %d reports have the tag of others", target, n)
			}
			tags[tag] = true
			if a := w.get(target, "If-None-Match", tag); a.Code != http.StatusNotModified {
				t.Errorf("%s: %d", target, a.Code)
			}
		}
		if got := pairingOf(t, w.get(oscarNeon)).Reports; n > 0 && (got == nil || got.Count != n) {
			t.Errorf("a kept answer says %+v, there are %d", got, n)
		}
	}
	if w.get(guppies).Header().Get("ETag") != other {
		t.Error("the tag of another pair changed")
	}
}

func TestWhatIsReportedCannotAlwaysBeSaid(t *testing.T) {
	w := ask(t, serverOf(t, few(t), withTallies(nil)))
	for name, c := range map[string]struct {
		target string
		status int
		slug   slug
	}{
		"a species nobody knows": {"/v1/pairings/oscar/unicornfish-of-the-moon/reports", http.StatusNotFound, unknownSpecies},
		"a name of several":      {"/v1/pairings/oscar/tetra/reports", http.StatusUnprocessableEntity, ambiguousSpecies},
		"a name of nothing":      {"/v1/pairings/oscar/%3F%3F/reports", http.StatusBadRequest, malformedParameter},
		"a parameter":            {oscarNeonReports + "?units=us", http.StatusBadRequest, unknownParameter},
	} {
		wantProblem(t, name, w.get(c.target), c.status, c.slug)
	}
	wantProblem(t, "no database", ask(t, serverOf(t, few(t))).get(oscarNeonReports), http.StatusServiceUnavailable, databaseAway)
	if a := ask(t, serverOf(t, nil, withTallies(nil))).get(oscarNeonReports); a.Code != http.StatusServiceUnavailable {
		t.Errorf("no catalogue: %d", a.Code)
	}
	limited := ask(t, serverOf(t, few(t), withTallies(nil), func(c *Config) { c.RateLimit = RateLimit{Quota: 1, Window: time.Hour} }))
	limited.get(oscarNeonReports)
	wantProblem(t, "too often", limited.get(oscarNeonReports), http.StatusTooManyRequests, tooManyRequests)
}
