package main

import (
	"encoding/json"
	"net/http"
	"strings"
	"testing"

	"commensal/api/gen"
	"commensal/internal/store/dbtest"
)

func TestAReportIsToldByEveryReplica(t *testing.T) {
	t.Parallel()
	env := environment{"DATABASE_URL": dbtest.New(t)}
	replicas := []*served{serve(t, env, "--migrate"), serve(t, env)}
	key, _ := makeKey(t, env, "--organization", "Reef corner", "--scope", "reports:write")
	const pair = "/v1/pairings/oscar/neon-tetra"
	tell := func(count string) {
		t.Helper()
		for _, s := range replicas {
			eventually(t, count+" reports", func() bool {
				status, body := s.get(t, pair+"/reports")
				return status == http.StatusOK && strings.Contains(body, `"count":`+count+`,`)
			})
		}
	}
	tell("0")
	status, header, body := replicas[1].send(t, http.MethodPost, "/v1/reports", key, `{"first":"oscar","second":"neon tetra","months":0,"outcome":"killed"}`)
	if status != http.StatusCreated {
		t.Fatalf("%d %s", status, body)
	}
	tell("1")
	if _, body := replicas[0].get(t, pair); !strings.Contains(body, `"reports":{"count":1,`) {
		t.Errorf("the pairing: %s", body)
	}
	if status, _, body := replicas[0].send(t, http.MethodDelete, header.Get("Location"), key, ""); status != http.StatusNoContent {
		t.Fatalf("%d %s", status, body)
	}
	tell("0")
}

func TestAnAnswerTellsWhatKeepersReport(t *testing.T) {
	t.Parallel()
	var p gen.Pairing
	if err := json.Unmarshal([]byte(mustRun(t, nil, "pair", "oscar", "guppy", "--json")), &p); err != nil {
		t.Fatal(err)
	}
	write := func() string {
		var text strings.Builder
		if err := writeAnswer(&text, &p, false); err != nil {
			t.Fatal(err)
		}
		return text.String()
	}
	if strings.Contains(write(), "keepers") {
		t.Errorf("there are no reports offline:\n%s", write())
	}
	p.Reports = &gen.Reports{Count: 2, Summary: "2 reports from keepers: one thing and the other, at such a length that one line does not hold it."}
	if got := write(); !strings.Contains(got, "What keepers report, beside the score\n  - 2 reports from keepers: one thing and the other, at such a length that one\n    line") {
		t.Errorf("%s", got)
	}
}
