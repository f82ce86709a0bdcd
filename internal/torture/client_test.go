//go:build linux

package torture

import (
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"strings"
	"testing"
	"time"
)

// client asks a service over connections that it keeps.
type client struct {
	t    *testing.T
	http *http.Client
	url  func(path string) string
	key  string
}

// newClient is a client of wherever url leads. Its patience is far above what is promised: it
// tells an answer that never comes from a slow machine.
func newClient(t *testing.T, url func(string) string, key string) *client {
	transport := &http.Transport{MaxIdleConnsPerHost: 64}
	t.Cleanup(transport.CloseIdleConnections)
	return &client{t: t, http: &http.Client{Timeout: patience, Transport: transport}, url: url, key: key}
}

// answer is what came back; status 0 says that nothing did.
type answer struct {
	status int
	header http.Header
	body   []byte
	took   time.Duration
	err    error
}

// unknown reports that the client was not told whether the request was carried out.
func (a answer) unknown() bool { return a.status == 0 || a.status == http.StatusServiceUnavailable }

// later reports that the service asks to come again.
func (a answer) later() bool {
	return a.unknown() || a.status == http.StatusConflict && a.header.Get("Retry-After") != ""
}

// do asks once. Headers come in pairs.
func (c *client) do(method, path, body string, headers ...string) (a answer) {
	r, err := http.NewRequest(method, c.url(path), strings.NewReader(body))
	if err != nil {
		return answer{err: err}
	}
	if c.key != "" {
		r.Header.Set("Authorization", "Bearer "+c.key)
	}
	if body != "" {
		r.Header.Set("Content-Type", "application/json")
	}
	for i := 0; i+1 < len(headers); i += 2 {
		r.Header.Set(headers[i], headers[i+1])
	}
	begin := time.Now()
	response, err := c.http.Do(r)
	if err != nil {
		return answer{err: err, took: time.Since(begin)}
	}
	defer response.Body.Close()
	text, err := io.ReadAll(response.Body)
	if err != nil {
		return answer{err: err, took: time.Since(begin)}
	}
	return answer{status: response.StatusCode, header: response.Header, body: text, took: time.Since(begin)}
}

func (c *client) get(path string) answer { return c.do(http.MethodGet, path, "") }

// retryPause lies between attempts, far less than Retry-After asks for: to be a nuisance is
// the business of these tests.
const retryPause = 30 * time.Millisecond

// untilKnown asks until the answer says something. unknown counts the attempts of which the
// client does not know whether they were carried out.
func (c *client) untilKnown(ask func() answer) (a answer, unknown int) {
	for end := time.Now().Add(patience); ; time.Sleep(retryPause) {
		a = ask()
		if !a.later() {
			return a, unknown
		}
		if a.unknown() {
			unknown++
		}
		if time.Now().After(end) {
			c.t.Errorf("no answer in the end: %d %v %s", a.status, a.err, a.body)
			return a, unknown
		}
	}
}

// decoded reads a body.
func decoded[T any](t *testing.T, a answer) (v T) {
	t.Helper()
	if err := json.Unmarshal(a.body, &v); err != nil {
		t.Errorf("%d %s: %v", a.status, a.body, err)
	}
	return v
}

// thing is what tanks, residents and readings have in common.
type thing struct{ ID, Label string }

// page is a page of any of them.
type page struct {
	Tanks, Residents, Readings []thing
	Next                       string
}

// list is all of a list, by id.
func (c *client) list(path string) map[string]thing {
	c.t.Helper()
	all := map[string]thing{}
	for next := ""; ; {
		a, _ := c.untilKnown(func() answer { return c.get(path + "?limit=200" + next) })
		if a.status != http.StatusOK {
			c.t.Errorf("%s: %d %s", path, a.status, a.body)
			return all
		}
		p := decoded[page](c.t, a)
		for _, x := range append(append(p.Tanks, p.Residents...), p.Readings...) {
			all[x.ID] = x
		}
		if p.Next == "" {
			return all
		}
		next = "&cursor=" + p.Next
	}
}

// same reports whether an answer repeats the first one.
func same(first, again answer) bool {
	return first.status == again.status && bytes.Equal(first.body, again.body) &&
		first.header.Get("Location") == again.header.Get("Location") && first.header.Get("ETag") == again.header.Get("ETag")
}
