package lookups_test

import (
	"fmt"
	"net/http"
	"sync/atomic"
	"testing"
	"time"

	"commensal/api"
	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/gen"
	"commensal/api/middleware"
	"commensal/api/respond"
	"commensal/internal/auth"
	"commensal/internal/evidence"
)

const oscarNeonReports = apitest.OscarNeon + "/reports"

func reportsOf(t *testing.T, a apitest.Answer) gen.PairingReports {
	t.Helper()
	return apitest.Body[gen.PairingReports](t, a, http.StatusOK)
}

// The replicas look by themselves but once an hour: what they know they were told, which
// takes a fraction of a second.
func TestANewReportShowsOnEveryReplicaAtOnce(t *testing.T) {
	h := apitest.NewService(t)
	replicas := []*apitest.Witness{h.Replica(t), h.Replica(t)}
	for _, w := range replicas {
		apitest.Soon(t, "reports are read", func() bool { return w.Get(oscarNeonReports).Code == http.StatusOK })
	}
	key := h.Key("here", auth.ReportsWrite)
	everywhere := func(count int) {
		t.Helper()
		var tags []string
		for _, w := range replicas {
			apitest.Soon(t, fmt.Sprint(count, " reports"), func() bool { return reportsOf(t, w.Get(oscarNeonReports)).Count == count })
			p := apitest.PairingOf(t, w.Get(apitest.OscarNeon))
			if count == 0 && p.Reports != nil || count > 0 && (p.Reports == nil || p.Reports.Count != count) {
				t.Errorf("%d reports, the pairing says %+v", count, p.Reports)
			}
			tags = append(tags, w.Get(apitest.OscarNeon).Header().Get("ETag"), w.Get(oscarNeonReports).Header().Get("ETag"))
		}
		if tags[0] != tags[2] || tags[1] != tags[3] {
			t.Errorf("replicas disagree: %v", tags)
		}
	}
	everywhere(0)
	filed := apitest.Body[gen.Report](t, h.Post("/v1/reports", apitest.KilledReport, key...), http.StatusCreated)
	everywhere(1)
	h.Post("/v1/reports", `{"first":"neon tetra","second":"oscar","months":12,"outcome":"fine"}`, h.Key("there", auth.ReportsWrite)...)
	everywhere(2)
	h.Do(http.MethodDelete, "/v1/reports/"+filed.Id, "", key...)
	everywhere(1)
	if err := h.Store.Erase(t.Context(), h.Organizations["there"]); err != nil {
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
	without := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t)))
	with := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t), apitest.WithTallies(map[evidence.Pair]evidence.Tally{pair: tally})))
	plain, told := apitest.PairingOf(t, without.Get(apitest.OscarNeon)), apitest.PairingOf(t, with.Get(apitest.OscarNeon))
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
	whole := reportsOf(t, with.Get(oscarNeonReports))
	if *whole.Organizations != 3 || whole.Observed == nil || whole.Observed.Mean != 50 || whole.Prior != (gen.ReportsPrior{Score: plain.Score, Weight: 12}) ||
		whole.Posterior.Mean != r.Posterior.Mean || whole.Summary != r.Summary || whole.Species[0].Id != "astronotus-ocellatus" {
		t.Errorf("%+v", whole)
	}
	if turned := reportsOf(t, with.Get("/v1/pairings/neon-tetra/oscar/reports")); turned.Count != 12 || turned.Species[0].Id != "paracheirodon-innesi" {
		t.Errorf("the other way round %+v", turned)
	}
	tank := apitest.PairingOf(t, with.Get(apitest.OscarNeon+"?tank=240x80x70cm&cover=0.9"))
	if tank.Reports == nil || tank.Reports.Posterior.Mean != r.Posterior.Mean {
		t.Errorf("the reports depend on the tank asked for: %+v", tank.Reports)
	}
	if other := apitest.PairingOf(t, with.Get("/v1/pairings/oscar/guppy")); other.Reports != nil {
		t.Errorf("another pair: %+v", other.Reports)
	}
}

func TestWithoutReportsTheModelStandsAlone(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t), apitest.WithTallies(nil)))
	r := reportsOf(t, w.Get(oscarNeonReports))
	if r.Count != 0 || r.Organizations != nil || r.Observed != nil || r.Posterior.Mean != r.Prior.Score {
		t.Errorf("%+v", r)
	}
	if p := apitest.PairingOf(t, w.Get(apitest.OscarNeon)); p.Reports != nil || p.Score != r.Prior.Score {
		t.Errorf("score %v, %+v", p.Score, p.Reports)
	}
}

// One shop has a thousand fish to sell: it does not decide alone.
func TestOneOrganizationDoesNotDecide(t *testing.T) {
	h := apitest.NewService(t)
	w, key := h.Replica(t), h.Key("here", auth.ReportsWrite)
	for range 12 {
		apitest.Body[gen.Report](t, h.Post("/v1/reports", `{"first":"oscar","second":"neon tetra","months":48,"outcome":"fine"}`, key...), http.StatusCreated)
	}
	apitest.Soon(t, "all are counted", func() bool { a := w.Get(oscarNeonReports); return a.Code == 200 && reportsOf(t, a).Count == 12 })
	r := reportsOf(t, w.Get(oscarNeonReports))
	if r.Weight != 5 || r.Organizations != nil || r.Posterior.Mean < 50 {
		t.Errorf("%+v", r)
	}
}

func TestEntityTagsFollowTheReportsOfTheirPairOnly(t *testing.T) {
	pair := evidence.PairOf("astronotus-ocellatus", "paracheirodon-innesi")
	var now atomic.Pointer[evidence.Tallies]
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t), func(c *api.Config) { c.Reports = now.Load }))
	const guppies = "/v1/pairings/guppy/guppy"
	share := evidence.Share{Counts: [evidence.NumOutcomes]int{1}, FineMonths: 3}
	tags := map[string]bool{}
	other := w.Get(guppies).Header().Get("ETag")
	for n := range 4 {
		var tally evidence.Tally
		for range n {
			tally.Add(share)
		}
		now.Store(evidence.NewTallies(map[evidence.Pair]evidence.Tally{pair: tally}))
		for _, target := range []string{apitest.OscarNeon, oscarNeonReports} {
			tag := w.Get(target).Header().Get("ETag")
			if tags[tag] {
				t.Errorf("%s: %d reports have the tag of others", target, n)
			}
			tags[tag] = true
			if a := w.Get(target, "If-None-Match", tag); a.Code != http.StatusNotModified {
				t.Errorf("%s: %d", target, a.Code)
			}
		}
		if got := apitest.PairingOf(t, w.Get(apitest.OscarNeon)).Reports; n > 0 && (got == nil || got.Count != n) {
			t.Errorf("a kept answer says %+v, there are %d", got, n)
		}
	}
	if w.Get(guppies).Header().Get("ETag") != other {
		t.Error("the tag of another pair changed")
	}
}

func TestWhatIsReportedCannotAlwaysBeSaid(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t), apitest.WithTallies(nil)))
	for name, c := range map[string]struct {
		target string
		status int
		slug   respond.Slug
	}{
		"a species nobody knows": {"/v1/pairings/oscar/unicornfish-of-the-moon/reports", http.StatusNotFound, respond.UnknownSpecies},
		"a name of several":      {"/v1/pairings/oscar/tetra/reports", http.StatusUnprocessableEntity, respond.AmbiguousSpecies},
		"a name of nothing":      {"/v1/pairings/oscar/%3F%3F/reports", http.StatusBadRequest, respond.MalformedParameter},
		"a parameter":            {oscarNeonReports + "?units=us", http.StatusBadRequest, respond.UnknownParameter},
	} {
		apitest.WantProblem(t, name, w.Get(c.target), c.status, c.slug)
	}
	apitest.WantProblem(t, "no database", apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t))).Get(oscarNeonReports), http.StatusServiceUnavailable, respond.DatabaseAway)
	if a := apitest.Ask(t, apitest.ServerOf(t, nil, apitest.WithTallies(nil))).Get(oscarNeonReports); a.Code != http.StatusServiceUnavailable {
		t.Errorf("no catalogue: %d", a.Code)
	}
	limited := apitest.Ask(t, apitest.ServerOf(t, fixture.Few(t), apitest.WithTallies(nil), func(c *api.Config) { c.RateLimit = middleware.RateLimit{Quota: 1, Window: time.Hour} }))
	limited.Get(oscarNeonReports)
	apitest.WantProblem(t, "too often", limited.Get(oscarNeonReports), http.StatusTooManyRequests, respond.TooManyRequests)
}
