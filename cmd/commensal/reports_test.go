package main

import (
	"net/http"
	"strings"
	"testing"

	"commensal/internal/localpg/localpgtest"
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
			localpgtest.Eventually(t, count+" reports", func() bool {
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
