package service

import (
	"io"
	"net/http"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"commensal/internal/auth"
	"commensal/internal/localpg/localpgtest"
	"commensal/internal/store/dbtest"
)

// caller asks a service with a key.
type caller struct {
	t    *testing.T
	base string
	key  string
}

func (c *caller) do(method, path, body string) (int, http.Header, string) {
	c.t.Helper()
	r, err := http.NewRequest(method, c.base+path, strings.NewReader(body))
	if err != nil {
		c.t.Fatal(err)
	}
	r.Header.Set("Authorization", "Bearer "+c.key)
	if body != "" {
		r.Header.Set("Content-Type", "application/json")
	}
	response, err := http.DefaultClient.Do(r)
	if err != nil {
		c.t.Fatal(err)
	}
	defer response.Body.Close()
	text, err := io.ReadAll(response.Body)
	if err != nil {
		c.t.Fatal(err)
	}
	return response.StatusCode, response.Header, string(text)
}

var onReplica = regexp.MustCompile(`(?m)^commensal_database_list_reads_total\{place="replica"\} (\d+)$`)

// readThere is how often the service has read on the replica of the database.
func readThere(t *testing.T, metrics *caller) int {
	t.Helper()
	_, _, text := metrics.do(http.MethodGet, "/metrics", "")
	found := onReplica.FindStringSubmatch(text)
	if found == nil {
		t.Fatalf("the metrics say nothing of the replica:\n%s", text)
	}
	n, err := strconv.Atoi(found[1])
	if err != nil {
		t.Fatal(err)
	}
	return n
}

// Every list, export and history is read on the replica, and what a client changes by is not.
func TestListsAreReadOnTheReplicaAndSingleThingsAreNot(t *testing.T) {
	t.Parallel()
	pg := dbtest.NewFollowed(t)
	s := start(t, pg.Owner, func(set *Settings) { set.ReplicaURL, set.ReplicaMaxLag = Secret(pg.Standby), 30*time.Second })
	_, rest, _ := strings.Cut(s.log.String(), `"metrics":"`)
	address, _, _ := strings.Cut(rest, `"`)
	metrics := &caller{t, "http://" + address, ""}
	c := &caller{t, s.base, newKey(t, pg.Owner, "Reef corner", auth.TanksRead, auth.TanksWrite, auth.ChecksRead, auth.ChecksWrite, auth.ReportsWrite, auth.StockRead)}
	status, header, body := c.do(http.MethodPost, "/v1/tanks", `{"label":"Window","tank":{"volume_l":120}}`)
	if status != http.StatusCreated {
		t.Fatalf("%d %s", status, body)
	}
	tank := header.Get("Location")
	localpgtest.Eventually(t, "the replica is found", func() bool {
		before := readThere(t, metrics)
		c.do(http.MethodGet, "/v1/tanks", "")
		return readThere(t, metrics) > before
	})
	// The screening of stored tanks reads there too, now and then: many of each tell them apart.
	const times = 10
	reads := func(path string) int {
		before := readThere(t, metrics)
		for range times {
			if status, _, body := c.do(http.MethodGet, path, ""); status != http.StatusOK {
				t.Fatalf("%s: %d %s", path, status, body)
			}
		}
		return readThere(t, metrics) - before
	}
	for _, path := range []string{"/v1/tanks", "/v1/tanks?external_ref=T-1", tank + "/residents", tank + "/readings", "/v1/tanks/changes", "/v1/checks", "/v1/checks/export", "/v1/reports", "/v1/stock", "/v1/placements",
		"/v1/revisions", "/v1/species/oscar/revisions"} {
		if n := reads(path); n < times {
			t.Errorf("%s was read on the replica %d times of %d", path, n, times)
		}
	}
	if n := reads(tank); n >= times {
		t.Errorf("a single tank was read on the replica %d times of %d", n, times)
	}
	// What was stored is in the list at once, and in the export, however long the replica is held back.
	pg.HoldBack()
	status, header, body = c.do(http.MethodPost, "/v1/tanks", `{"label":"Held back","tank":{"volume_l":54}}`)
	if _, _, list := c.do(http.MethodGet, "/v1/tanks", ""); status != http.StatusCreated || !strings.Contains(list, `"Held back"`) {
		t.Errorf("%d %s is not in %s", status, body, list)
	}
	made := header.Get("Location")
	pg.LetGo()
	if status, _, body := c.do(http.MethodGet, made, ""); status != http.StatusOK {
		t.Errorf("%d %s", status, body)
	}
	if err := s.stop(); err != nil {
		t.Error(err)
	}
	if log := s.log.String(); !strings.Contains(log, "lists and histories are read from the replica") {
		t.Errorf("the log does not tell of the replica:\n%s", log)
	}
}
