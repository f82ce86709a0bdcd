package clientaddr_test

import (
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// requireHAProxy is the variable that makes a missing haproxy a failure, as in CI.
const requireHAProxy = "COMMENSAL_TEST_HAPROXY"

// behindHAProxy starts a real haproxy in front of a handler, with the line that its manual
// gives for passing addresses on, and returns where it answers.
func behindHAProxy(t *testing.T, handler http.HandlerFunc) (address string) {
	t.Helper()
	program, err := exec.LookPath("haproxy")
	if err != nil {
		if os.Getenv(requireHAProxy) != "" {
			t.Fatal("haproxy is not installed")
		}
		t.Skip("haproxy is not installed; CI installs it")
	}
	service := httptest.NewServer(handler)
	t.Cleanup(service.Close)
	address = freeAddress(t)
	config := filepath.Join(t.TempDir(), "haproxy.cfg")
	text := fmt.Sprintf("defaults\n mode http\n timeout connect 5s\n timeout client 5s\n timeout server 5s\n"+
		"frontend public\n bind %s\n option forwardfor\n default_backend service\nbackend service\n server one %s\n",
		address, service.Listener.Addr())
	if err := os.WriteFile(config, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	proxy := exec.CommandContext(t.Context(), program, "-db", "-f", config)
	proxy.Stdout, proxy.Stderr = t.Output(), t.Output()
	if err := proxy.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = proxy.Process.Kill(); _ = proxy.Wait() })
	waitFor(t, address)
	return address
}

func freeAddress(t *testing.T) string {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = l.Close() }()
	return l.Addr().String()
}

func waitFor(t *testing.T, address string) {
	t.Helper()
	for end := time.Now().Add(20 * time.Second); time.Now().Before(end); time.Sleep(10 * time.Millisecond) {
		if c, err := net.Dial("tcp", address); err == nil {
			_ = c.Close()
			return
		}
	}
	t.Fatal("haproxy does not answer")
}

// get asks from a local address, with header lines of the client's own.
func get(t *testing.T, address, from string, lines ...string) string {
	t.Helper()
	dialer := &net.Dialer{LocalAddr: &net.TCPAddr{IP: net.ParseIP(from)}}
	client := &http.Client{Transport: &http.Transport{DialContext: dialer.DialContext, DisableKeepAlives: true}}
	r, err := http.NewRequestWithContext(t.Context(), http.MethodGet, "http://"+address+"/", nil)
	if err != nil {
		t.Fatal(err)
	}
	r.Header["X-Forwarded-For"] = lines
	answer, err := client.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = answer.Body.Close() }()
	body, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return string(body)
}

func TestThroughHAProxy(t *testing.T) {
	trusted := proxies("127.0.0.1/32")
	address := behindHAProxy(t, func(w http.ResponseWriter, r *http.Request) {
		fmt.Fprintf(w, "%s %d", trusted.Client(r), len(r.Header.Values("X-Forwarded-For")))
	})
	for _, x := range []struct {
		name  string
		lines []string
		want  string // the address, and the lines that arrived: haproxy adds one of its own
	}{
		{"nothing forged", nil, "127.0.0.5 1"},
		{"a forged line", []string{"203.0.113.9"}, "127.0.0.5 2"},
		{"an empty line", []string{""}, "127.0.0.5 2"},
		{"several forged lines", []string{"203.0.113.9, 127.0.0.1", "", "127.0.0.1"}, "127.0.0.5 4"},
		{"a long forged line", []string{strings.Repeat("127.0.0.1, ", 200)}, "127.0.0.5 2"},
	} {
		t.Run(x.name, func(t *testing.T) {
			if got := get(t, address, "127.0.0.5", x.lines...); got != x.want {
				t.Errorf("got %q, want %q", got, x.want)
			}
		})
	}
}
