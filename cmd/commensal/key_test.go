package main

import (
	"context"
	"io"
	"net/http"
	"regexp"
	"strings"
	"testing"
	"time"

	"commensal/internal/localpg"
	"commensal/internal/localpg/localpgtest"
	"commensal/internal/store/dbtest"
)

var keyShape = regexp.MustCompile(`^cmsl_[a-z2-7]{16}_[a-z2-7]{39}\n$`)

// makeKey makes a key at the prompt.
func makeKey(t *testing.T, env environment, args ...string) (text, id string) {
	t.Helper()
	out := mustRun(t, env, append([]string{"key", "create"}, args...)...)
	if !keyShape.MatchString(out) {
		t.Fatalf("standard output is %q: a script wants the key alone", out)
	}
	text = strings.TrimSpace(out)
	return text, strings.Split(text, "_")[1]
}

// send sends a request with a key and returns status, headers and body.
func (s *served) send(t *testing.T, method, path, key, body string) (int, http.Header, string) {
	t.Helper()
	r, err := http.NewRequest(method, s.base+path, strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	r.Header.Set("Authorization", "Bearer "+key)
	r.Header.Set("Content-Type", "application/json")
	client := http.Client{Timeout: 20 * time.Second} // against a test that never ends
	response, err := client.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer response.Body.Close()
	text, err := io.ReadAll(response.Body)
	if err != nil {
		t.Fatal(err)
	}
	return response.StatusCode, response.Header, string(text)
}

func TestAKeyIsMadeListedUsedAndRevokedAtThePrompt(t *testing.T) {
	t.Parallel()
	env := environment{"DATABASE_URL": dbtest.New(t)}
	s := serve(t, env, "--migrate")
	text, id := makeKey(t, env, "--organization", "Reef corner", "--scope", "tanks:read,tanks:write", "--scope", "manage", "--expires", "90d", "--label", "till 2")
	if status, _, body := s.send(t, http.MethodPost, "/v1/tanks", text, `{"tank":{}}`); status != http.StatusCreated {
		t.Fatalf("%d %s", status, body)
	}
	makeKey(t, env, "--organization", "Pond club", "--scope", "tanks:read")
	list := mustRun(t, env, "key", "list")
	if strings.Contains(list, text) || strings.Count(list, "\n") != 3 || !strings.Contains(list, "tanks:read,tanks:write,manage") || !strings.Contains(list, "good until") {
		t.Errorf("list:\n%s", list)
	}
	if only := mustRun(t, env, "key", "list", "--organization", "Pond club"); strings.Contains(only, id) || strings.Count(only, "\n") != 2 {
		t.Errorf("list of one:\n%s", only)
	}
	if out := mustRun(t, env, "key", "revoke", id); out != "revoked "+id+"\n" {
		t.Errorf("revoke: %q", out)
	}
	if list := mustRun(t, env, "key", "list"); !strings.Contains(list, "revoked 2") {
		t.Errorf("list:\n%s", list)
	}
	localpgtest.Eventually(t, "the service refuses the key", func() bool {
		status, _, _ := s.send(t, http.MethodGet, "/v1/tanks", text, "")
		return status == http.StatusUnauthorized
	})
	if status := s.stop(); status != exitOK {
		t.Errorf("status %d", status)
	}
	if list := mustRun(t, env, "key", "list", "--organization", "Reef corner"); strings.Contains(list, "never") {
		t.Errorf("the last use was not noted at the end:\n%s", list)
	}
}

func TestKeysAreRefusedInWordsThatHelp(t *testing.T) {
	t.Parallel()
	env := environment{"DATABASE_URL": dbtest.New(t)}
	for _, c := range []struct {
		args   []string
		stderr string
	}{
		{[]string{"create", "--scope", "manage"}, "--organization"},
		{[]string{"create", "--organization", "x"}, "the scopes are tanks:read"},
		{[]string{"create", "--organization", "x", "--scope", "everything"}, `"everything"`},
		{[]string{"create", "--organization", "x", "--scope", "manage", "--expires", "soon"}, "90d"},
		{[]string{"create", "--organization", "x", "--scope", "manage", "--expires", "2020-01-01"}, "to come"},
		{[]string{"create", "--organization", strings.Repeat("x", 81), "--scope", "manage"}, "at most 80"},
		{[]string{"create", "--organization", "x", "--scope", "manage", "--label", "a\nb"}, "one line"},
		{[]string{"revoke", "nothing"}, `"nothing"`},
		{[]string{"list", "--organization", "nobody"}, `"nobody"`},
	} {
		status, _, stderr := run(t, env, append([]string{"key"}, c.args...)...)
		if status != exitUsage || !strings.Contains(stderr, c.stderr) {
			t.Errorf("%v: status %d: %s", c.args, status, stderr)
		}
	}
	if list := mustRun(t, env, "key", "list"); strings.Count(list, "\n") != 1 {
		t.Errorf("something was made all the same:\n%s", list)
	}
}

func TestAKeyIsMadeBesideARunningPrivateServer(t *testing.T) {
	t.Parallel()
	env := environment{"COMMENSAL_DATA_DIR": localpgtest.PrivateFolder(t) + "/data"}
	s := serve(t, env)
	text, _ := makeKey(t, env, "--organization", "Reef corner", "--scope", "tanks:read")
	if status, _, body := s.send(t, http.MethodGet, "/v1/tanks", text, ""); status != http.StatusOK {
		t.Errorf("%d %s", status, body)
	}
}

// PostgreSQL goes away under a running service and comes back: what stores says so, lookups
// go on, and what was acknowledged is still there.
func TestStoringWaitsForTheDatabaseAndLookupsDoNot(t *testing.T) {
	t.Parallel()
	dir := localpgtest.PrivateFolder(t) + "/db"
	begin := func() *localpg.Server {
		t.Helper()
		db, err := localpg.Start(t.Context(), localpg.Options{DataDir: dir})
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { _ = db.Stop(context.Background()) })
		return db
	}
	db := begin()
	env := environment{"DATABASE_URL": db.DSN()}
	s := serve(t, env, "--migrate")
	key, _ := makeKey(t, env, "--organization", "Reef corner", "--scope", "tanks:read,tanks:write")
	status, header, body := s.send(t, http.MethodPost, "/v1/tanks", key, `{"tank":{"size":"100x40x40cm"}}`)
	if status != http.StatusCreated {
		t.Fatalf("%d %s", status, body)
	}
	tank := header.Get("Location")
	if err := db.Stop(t.Context()); err != nil {
		t.Fatal(err)
	}
	for range 3 {
		status, header, body := s.send(t, http.MethodPost, "/v1/tanks", key, `{"tank":{}}`)
		if status != http.StatusServiceUnavailable || header.Get("Retry-After") != "2" || !strings.Contains(body, "/problems/database-away") {
			t.Errorf("storing without a database: %d %q %s", status, header.Get("Retry-After"), body)
		}
		if status, _, body := s.send(t, http.MethodGet, "/v1/pairings/oscar/guppy", key, ""); status != http.StatusOK {
			t.Errorf("a lookup without a database: %d %s", status, body)
		}
	}
	begin()
	localpgtest.Eventually(t, "storing works again", func() bool {
		status, _, _ := s.send(t, http.MethodPost, "/v1/tanks", key, `{"tank":{}}`)
		return status == http.StatusCreated
	})
	if status, _, body := s.send(t, http.MethodGet, tank, key, ""); status != http.StatusOK {
		t.Errorf("the tank of before: %d %s", status, body)
	}
	if status := s.stop(); status != exitOK {
		t.Errorf("status %d", status)
	}
}
