package service

import (
	"encoding/json"
	"net/http"
	"net/url"
	"os"
	"strings"
	"testing"
	"time"

	"commensal/internal/auth"
	"commensal/internal/localpg/localpgtest"
	"commensal/internal/store/dbtest"
)

// dashboard is what the test reads of the dashboard.
type dashboard struct {
	Panels []struct {
		Title   string
		Targets []struct{ Expr string }
	}
}

func TestEveryQueryOfTheDashboardFindsSomethingOfARunningService(t *testing.T) {
	t.Parallel()
	pg := dbtest.NewFollowed(t)
	dsn := pg.Owner
	s := start(t, dsn, func(set *Settings) { set.ReplicaURL, set.ReplicaMaxLag = Secret(pg.Standby), time.Second })
	_, rest, _ := strings.Cut(s.log.String(), `"metrics":"`)
	metrics, _, _ := strings.Cut(rest, `"`)
	prometheus := scraping(t, metrics)
	text, err := os.ReadFile("../../deploy/grafana/commensal.json")
	if err != nil {
		t.Fatal(err)
	}
	var board dashboard
	if err := json.Unmarshal(text, &board); err != nil || len(board.Panels) < 10 {
		t.Fatalf("%d panels, %v", len(board.Panels), err)
	}
	key := newKey(t, dsn, "Reef corner", auth.TanksRead)
	asked := func() {
		s.ask(t, "/v1/pairings/oscar/neon-tetra", "traceparent", "00-"+traceA+"-"+callersSpan+"-01")
		s.ask(t, "/v1/tanks", "Authorization", "Bearer "+key)
		response, err := http.Post(s.base+"/v1/checks", "application/json", strings.NewReader(`{"residents":[{"species":"neon tetra","count":10}],"incoming":[{"species":"oscar"}]}`))
		if err != nil {
			t.Fatal(err)
		}
		defer response.Body.Close()
		if response.StatusCode != http.StatusOK {
			t.Fatalf("the check is answered with %d", response.StatusCode)
		}
	}
	stands := strings.NewReplacer("$__rate_interval", "1m", "$instance", ".*")
	for _, panel := range board.Panels {
		if len(panel.Targets) == 0 {
			t.Errorf("%q asks nothing", panel.Title)
		}
		for _, target := range panel.Targets {
			said := ""
			localpgtest.Eventually(t, panel.Title+": "+target.Expr+" finds something", func() bool {
				asked()
				var found []json.RawMessage
				found, said = query(prometheus, "/api/v1/query", url.Values{"query": {stands.Replace(target.Expr)}})
				return len(found) > 0 && !strings.Contains(said, `"NaN"`)
			})
		}
	}
	localpgtest.Eventually(t, "a slow answer leads to its trace", func() bool {
		_, said := query(prometheus, "/api/v1/query_exemplars", url.Values{"query": {"commensal_http_request_duration_seconds_bucket"}, "start": {"0"}, "end": {"9999999999"}})
		return strings.Contains(said, traceA)
	})
	localpgtest.Eventually(t, "lists come from the replica of the database", func() bool {
		asked()
		found, _ := query(prometheus, "/api/v1/query", url.Values{"query": {`commensal_database_list_reads_total{place="replica"} > 0`}})
		return len(found) > 0
	})
	_, said := query(prometheus, "/api/v1/rules", nil)
	if strings.Contains(said, `"health":"err"`) || !strings.Contains(said, `"health":"ok"`) {
		t.Errorf("a rule cannot be evaluated: %s", said)
	}
}
