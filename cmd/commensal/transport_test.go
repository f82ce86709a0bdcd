package main

import (
	"crypto/tls"
	"net/http"
	"path/filepath"
	"strings"
	"testing"

	"commensal/internal/certfile/certtest"
	"commensal/internal/store/dbtest"
)

func TestWithACertificateTheServiceSpeaksHTTPS(t *testing.T) {
	t.Parallel()
	dir := t.TempDir()
	env := environment{"DATABASE_URL": dbtest.New(t), "COMMENSAL_TLS_CERT": filepath.Join(dir, "c.pem"), "COMMENSAL_TLS_KEY": filepath.Join(dir, "k.pem")}
	certtest.Write(t, "fish.example", env["COMMENSAL_TLS_CERT"], env["COMMENSAL_TLS_KEY"])
	s := serve(t, env, "--migrate", "--addr", "0.0.0.0:0")
	client := &http.Client{Transport: &http.Transport{TLSClientConfig: &tls.Config{InsecureSkipVerify: true}, ForceAttemptHTTP2: true}}
	response, err := client.Get(s.base + "/v1/species/oscar")
	if err != nil {
		t.Fatal(err)
	}
	_ = response.Body.Close()
	if response.StatusCode != http.StatusOK || response.ProtoMajor != 2 || response.TLS.PeerCertificates[0].Subject.CommonName != "fish.example" {
		t.Errorf("%s %s", response.Proto, response.Status)
	}
	if out := mustRun(t, env, "ready", "--addr", strings.TrimPrefix(s.base, "https://")); !strings.Contains(out, `"ok"`) {
		t.Errorf("commensal ready: %s", out)
	}
	if strings.Contains(s.stderr.String(), "not encrypted") {
		t.Errorf("it warns all the same: %s", s.stderr)
	}
}

func TestSettingsOfLimitsAreChecked(t *testing.T) {
	t.Parallel()
	for _, args := range [][]string{
		{"--tls-cert", "c.pem"}, {"--tls-key", "k.pem"}, {"--tls-cert", "missing.pem", "--tls-key", "missing.pem"},
		{"--max-connections", "0"}, {"--log-addresses", "some"}, {"--key-life", "-1h"}, {"--exempt-loopback=perhaps"},
	} {
		status, _, stderr := run(t, nil, append([]string{"serve", "--addr", "127.0.0.1:0", "--metrics-addr", "off"}, args...)...)
		if status != exitUsage || !strings.Contains(stderr, strings.TrimPrefix(strings.Split(args[0], "=")[0], "--")) {
			t.Errorf("%v: status %d, %s", args, status, stderr)
		}
	}
}
