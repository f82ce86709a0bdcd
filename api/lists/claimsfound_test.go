package lists_test

import (
	"net/http"
	"testing"

	"commensal/api/apitest"
	"commensal/api/apitest/fixture"
	"commensal/api/gen"
)

// TestClaimsThatWereFalseOnce keeps what drawing found: each is an answer that the next request contradicted.
func TestClaimsThatWereFalseOnce(t *testing.T) {
	w := apitest.Ask(t, apitest.ServerOf(t, fixture.Served(t)))
	t.Run("a kind that may not be kept is no better in a tank of its own", func(t *testing.T) {
		told := apitest.CheckOf(t, w, `{"region":"Germany","tank":{"volume_l":20,"weekly_change":0},"residents":[
			{"species":"abramites-hypselonotus","keep":true},{"species":"cipangopaludina-chinensis","keep":true}]}`)
		for _, r := range told.Remedies {
			for _, change := range r.Changes {
				if change.Code == "separate" && told.Lines[*change.Line].Species.Id == "cipangopaludina-chinensis" {
					t.Errorf("%s is told to come to %s", change.Summary, r.Decision)
				}
			}
		}
	})
	t.Run("a male that bears no other is given females for company", func(t *testing.T) {
		told := apitest.CheckOf(t, w, `{"residents":[{"species":"cyrtocara-moorii","count":1,"sex":"male"}]}`)
		found := false
		for _, f := range told.Findings {
			if f.Code == "group_too_small" {
				found = true
				if f.Remedy == nil || f.Remedy.Code != "add_females" || *f.Remedy.Count != 2 {
					t.Errorf("%s", text(f.Remedy))
				}
			}
		}
		if !found {
			t.Errorf("%s", text(told.Findings))
		}
	})
	t.Run("a pairing in a tank of which the volume is known, with readings, is linked as it was judged", func(t *testing.T) {
		told := apitest.CheckOf(t, w, `{"tank":{"volume_l":20,"temperature_c":18,"ph":8.2},"residents":[{"species":"paracheirodon-innesi","count":6},{"species":"betta-splendens","count":1}]}`)
		for _, p := range told.Pairings {
			a := apitest.Body[gen.Pairing](t, w.Get(p.Pairing), http.StatusOK)
			if a.Level != p.Level || a.MainReason != p.MainReason || p.Lines[0] != p.Lines[1] && a.Score != p.Score {
				t.Errorf("%s is %v %s, told %v %s", p.Pairing, a.Score, a.Level, p.Score, p.Level)
			}
		}
	})
}
